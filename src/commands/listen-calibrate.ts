export async function calibrate(_: object): Promise<number> {
  return 0;
}
