// Converts the colours given on standard input (JSON: an array of [r, g, b], each
// 0..1) with culori, and says how long each conversion took. Run by
// `go run ./bench/colour -conversions`.
import { converter, differenceCiede2000 } from 'culori';
import { readFileSync } from 'node:fs';

const colours = JSON.parse(readFileSync(0, 'utf8')).map(([r, g, b]) => ({ mode: 'rgb', r, g, b }));
const answers = {};
const nanoseconds = {};

function run(name, convert, channels) {
	const to = (c) => {
		const x = convert(c);
		return channels.map((k) => x[k] ?? 0);
	};
	answers[name] = colours.map(to);
	const start = process.hrtime.bigint();
	for (let i = 0; i < 5; i++) for (const c of colours) convert(c);
	nanoseconds[name] = Number(process.hrtime.bigint() - start) / (5 * colours.length);
}

run('linear', converter('lrgb'), ['r', 'g', 'b']);
run('xyz65', converter('xyz65'), ['x', 'y', 'z']);
run('xyz50', converter('xyz50'), ['x', 'y', 'z']);
run('lab65', converter('lab65'), ['l', 'a', 'b']);
run('lab50', converter('lab'), ['l', 'a', 'b']);
run('p3', converter('p3'), ['r', 'g', 'b']);

const lab = colours.map(converter('lab65'));
const difference = differenceCiede2000();
answers.ciede2000 = lab.map((c, i) => [difference(c, lab[(i + 1) % lab.length])]);
const start = process.hrtime.bigint();
for (let k = 0; k < 5; k++) lab.forEach((c, i) => difference(c, lab[(i + 1) % lab.length]));
nanoseconds.ciede2000 = Number(process.hrtime.bigint() - start) / (5 * lab.length);

process.stdout.write(JSON.stringify({ answers, nanoseconds }));
