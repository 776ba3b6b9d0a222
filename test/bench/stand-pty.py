# Runs a command on a pseudo-terminal of a given size and tells on stdout what it writes there, each chunk with the time it
# came (ns of the monotonic clock): "TIME BASE64". What comes on stdin goes to the terminal. Ends when the command does.
# usage: stand-pty.py COLUMNS ROWS COMMAND [ARG ...]
import base64, fcntl, os, pty, select, struct, sys, termios, time

columns, rows = int(sys.argv[1]), int(sys.argv[2])
pid, terminal = pty.fork()
if pid == 0:
    # Wait until the size is set: the program reads it when it starts.
    time.sleep(0.05)
    os.execvp(sys.argv[3], sys.argv[3:])
fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
print(f"pid {pid}", flush=True)
reading = [terminal, 0]
while True:
    ready, _, _ = select.select(reading, [], [])
    if terminal in ready:
        try:
            data = os.read(terminal, 65536)
        except OSError:
            break
        if not data:
            break
        print(time.monotonic_ns(), base64.b64encode(data).decode(), flush=True)
    if 0 in ready:
        keys = os.read(0, 4096)
        if keys:
            os.write(terminal, keys)
        else:
            reading = [terminal]
_, status = os.waitpid(pid, 0)
