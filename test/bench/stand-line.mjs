// The least that a program on Ink can be: one line. What the stand's start is measured against.
process.env.NODE_ENV = 'production';
const { Text, render } = await import('ink');
const { createElement } = await import('react');
render(createElement(Text, null, 'one line'));
setTimeout(() => {}, 60_000);
