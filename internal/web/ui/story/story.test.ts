/**
 * A season's whole job in a browser: found, recorded, named twice, asked about,
 * counted, deposited, read back. By keyboard alone, and by what a screen reader
 * would be told: no test here looks at the document or touches a mouse.
 */
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect } from 'vitest';
import { desk, openBrowser, Person, phone } from './person';
import { freshFolder, run, serve, type Serving } from './program';
import { story } from './steps';

const file = (name: string) => fileURLToPath(new URL(`files/${name}`, import.meta.url));
const four = ['IMG_2041.jpg', 'IMG_2042.jpg', 'IMG_2043.jpg', 'IMG_2044.jpg'].map(file);

/** What the story's two records are called. */
const found = { number: '', address: '' };
const inHand = { number: '' };

describe('the whole story, by keyboard and by ear', () => {
  const data = freshFolder('story');
  let program: Serving;
  let stopped = false;
  let browser: Browser;
  let recorder: Person, first: Person, second: Person, coordinator: Person, outsider: Person;
  const people: Person[] = [];
  const step = story(() => people);

  async function comesIn(who: string, size: { width: number; height: number }, link: string): Promise<Person> {
    const person = await Person.at(browser, who, size);
    people.push(person);
    await person.open(link);
    return person;
  }

  beforeAll(async () => {
    program = await serve('demo', data.path);
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    if (!stopped) await program?.stop();
    data.remove();
    console.log(`keys pressed: ${people.map((p) => `${p.who} ${p.keys}`).join(', ')}`);
  });

  step('a recorder comes in by their link and finds the Daybook', async () => {
    recorder = await comesIn('recorder', phone, program.links.get('recorder')!);
    await recorder.finds('heading', 'Daybook');
    await recorder.hears('Saturday 10 October');
    await recorder.use('link', 'New record');
    await recorder.arrives('heading', 'Top');
  });

  step('five files at once: four are guessed by their time, the one that is no photograph is refused by name', async () => {
    recorder.expects(422);
    // Handed in in the wrong order; the camera's clock puts them right.
    await recorder.chooses('button', 'Choose several at once', [four[2]!, file('notes.jpg'), four[3]!, four[0]!, four[1]!]);
    await recorder.hears('4 of 5 handed in.');
    await recorder.finds('alert', '');
    await recorder.hears('notes.jpg: ');
    for (const [name, kind] of [['IMG_2041', 'Top'], ['IMG_2042', 'Side'], ['IMG_2043', 'Underneath'], ['IMG_2044', 'Surroundings']]) {
      await recorder.finds('combobox', `View shown by ${name}.jpg`, (h) => h.value === kind);
    }
    await recorder.use('button', 'Leave it out: notes.jpg');
    await recorder.hears('4 of 4 handed in.');
  });

  step('a guess is changed and changed back, the other photograph following', async () => {
    const isSaid = (name: string, kind: string) => recorder.finds('combobox', `View shown by ${name}.jpg`, (h) => h.value === kind);
    await recorder.tabTo('combobox', 'View shown by IMG_2041.jpg');
    // On the way to the third answer the second is passed; only the one that is meant may move another photograph.
    await recorder.press('ArrowDown', 2);
    await isSaid('IMG_2041', 'Underneath');
    await isSaid('IMG_2043', 'Top');
    await isSaid('IMG_2042', 'Side');
    await recorder.hears('Underneath and top have changed places.');
    await recorder.press('Home');
    await isSaid('IMG_2041', 'Top');
    await isSaid('IMG_2043', 'Underneath');
    await isSaid('IMG_2042', 'Side');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'What does it look like?');
  });

  step('still before the find, it is said what it looks like, and the one question that helps most is answered', async () => {
    await recorder.tabTo('radio', 'Mushroom with gills');
    await recorder.press('Space');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'While you are here');
    await recorder.use('button', 'Can’t tell');
    await recorder.hears('That is kept.');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'When did you find it?');
  });

  step('day and place come from the camera; a day to come is given all the same, and a latitude of 123', async () => {
    await recorder.hears('From the camera: 10 October 2026, 11:34');
    await recorder.writeDate('Day', '2026-10-11');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'Where did you find it?');
    await recorder.hears('From the camera: 48.560412, -19.951308');
    await recorder.use('button', 'Type coordinates');
    recorder.expects(422);
    await recorder.fill('textbox', 'Coordinates, latitude first', '123, -19.95131');
    await recorder.finds('textbox', 'Coordinates, latitude first', (h) => h.states.invalid === 'true');
    await recorder.hears('latitude');
    await recorder.fill('textbox', 'Coordinates, latitude first', `48°33'37.5"N 19°57'04.7"W`);
    await recorder.hears('As typed: 48.5604');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'What does it grow on?');
  });

  step('the questions are answered one by one', async () => {
    await recorder.use('button', 'Something else');
    await recorder.arrives('radio', 'Peat, bog moss');
    await recorder.arrowTo('ArrowUp', 'radio', 'Leaf litter');
    await recorder.fill('textbox', 'Which tree or plant, if you know', 'beech');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'How do they grow?');
    await recorder.use('button', 'Skip this question');
    await recorder.arrives('heading', 'How many do you see?');
    await recorder.fill('spinbutton', 'How many do you see?', '9');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'How ripe is it?');
  });

  step('loading the page again in the middle loses nothing', async () => {
    await recorder.page.reload();
    await recorder.finds('heading', 'How ripe is it?');
    await recorder.use('button', 'Skip this question');
    await recorder.arrives('heading', 'What does it smell of?');
    await recorder.tabTo('radio', 'None noticed');
    await recorder.press('Space');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'Do you know its name?');
    await recorder.fill('textbox', 'Do you know its name?', 'amethyst deceiver');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'Anything else?');
    await recorder.use('button', 'Skip this question');
    await recorder.arrives('heading', 'What you have said');
    for (const said of ['Top, Side, Underneath, Surroundings.', '11 October 2026, 11:34', 'Mushroom with gills', 'Leaf litter; beech', '9', 'None noticed', 'amethyst deceiver']) {
      await recorder.hears(said);
    }
  });

  step('the day to come is refused in a sentence, put right, and the record kept', async () => {
    recorder.expects(422);
    await recorder.use('button', 'Keep the record');
    await recorder.hears('has not come yet');
    const stands = await recorder.arrives('button', 'Change: when');
    expect(stands.description).toContain('11 October 2026 has not come yet');
    await recorder.press('Enter');
    await recorder.arrives('heading', 'When did you find it?');
    await recorder.writeDate('Day', '2026-10-10');
    await recorder.use('button', 'Back to what you have said');
    await recorder.arrives('heading', 'What you have said');
    await recorder.use('button', 'Keep the record');
    found.number = (await recorder.arrives('heading', /^W26-\d{4} is kept$/)).name.replace(' is kept', '');
    await recorder.hears('All four views.');
  });

  step('a second record without a photograph: named in the hand by somebody, with a pin set by keys', async () => {
    await recorder.use('button', 'Make another record');
    await recorder.arrives('heading', 'Top');
    await recorder.use('button', 'No photograph: named in the hand');
    await recorder.arrives('heading', 'Do you know its name?');
    await recorder.fill('textbox', 'Do you know its name?', 'Amanita muscaria');
    await recorder.fill('textbox', 'Who named it in the hand?', 'Grandmother Tansley');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'Anything else?');
    await recorder.use('button', 'Skip this question');
    await recorder.arrives('heading', 'What you have said');
    await recorder.use('button', 'Say: where');
    await recorder.arrives('heading', 'Where did you find it?');
    await recorder.use('button', 'Pin on the map');
    await recorder.tabTo('application', /^Map of the season/);
    await recorder.press('Enter');
    await recorder.press('ArrowDown');
    await recorder.hears('Pin at ');
    await recorder.use('button', 'Back to what you have said');
    await recorder.arrives('heading', 'What you have said');
    await recorder.use('button', 'Keep the record');
    inHand.number = (await recorder.arrives('heading', /^W26-\d{4} is kept$/)).name.replace(' is kept', '');
    await recorder.hears('No photograph; named in the hand by Grandmother Tansley; not said what it grows on.');
    expect(Number(inHand.number.slice(4))).toBe(Number(found.number.slice(4)) + 1);
  });

  step('the Daybook shows both with their sentences', async () => {
    await recorder.use('link', 'Back to the Daybook');
    await recorder.arrives('heading', 'Daybook');
    await recorder.finds('link', new RegExp(`^amethyst deceiver ${found.number} .*top taken, side taken, underneath taken, surroundings taken All four views\\.$`));
    await recorder.finds('link', new RegExp(`^Amanita muscaria ${inHand.number} .*No photograph; named in the hand by Grandmother Tansley; not said what it grows on\\.$`));
  });

  step('a determiner takes it from the strip, completes a name with “lac am” and pastes the slip', async () => {
    first = await comesIn('determiner', desk, program.links.get('determiner')!);
    await first.hears('finds wait');
    await first.use('link', new RegExp(`^${found.number}, waits for a name`));
    await first.hears('Gilled, on soil and litter');
    await first.finds('region', `Views of ${found.number}`);
    const kept = await first.text();
    expect(kept, 'field name is not read before the flap is lifted').not.toContain('amethyst deceiver');
    await first.tabTo('combobox', 'Put a name to it');
    await first.type('lac am');
    await first.finds('option', /^Laccaria amethystina/, (h) => h.states.selected === true);
    await first.press('Enter');
    await first.finds('combobox', 'Put a name to it', (h) => h.value === 'Laccaria amethystina');
    await first.hears('On the checklist: Laccaria amethystina');
    await first.tabTo('radio', 'none');
    await first.press('ArrowRight');
    await first.finds('radio', 'cf.', (h) => h.states.checked === 'true');
    await first.tabTo('checkbox', 'description');
    await first.press('Space');
    await first.use('button', 'Paste the slip');
    await first.hears(`Laccaria cf. amethystina is pasted on ${found.number}.`);
  });

  step('the coordinator copies another determiner’s link from the Season desk', async () => {
    coordinator = await comesIn('coordinator', desk, program.links.get('coordinator')!);
    await coordinator.use('link', 'Season desk');
    await coordinator.arrives('heading', 'Season desk');
    await coordinator.use('link', 'People');
    await coordinator.arrives('heading', 'People');
    await coordinator.use('button', 'Copy the link of Casimir Blunderbusk');
    await coordinator.hears('The link of Casimir Blunderbusk is copied.');
    // Pasted where it can be heard; nothing is handed in.
    await coordinator.tabTo('searchbox', 'Find a person', { back: true });
    await coordinator.press('Control+v');
    const field = await coordinator.finds('searchbox', 'Find a person', (h) => h.value.includes('/enter/'));
    await coordinator.write('');
    second = await comesIn('second determiner', desk, field.value);
    await second.hears('finds wait');
  });

  step('the second determiner, who knows nothing of the first slip, names it differently', async () => {
    await second.use('link', 'Record book');
    await second.arrives('heading', 'Record book');
    await second.fill('searchbox', 'Look for', found.number);
    await second.hears('1 record, out of');
    await second.use('link', found.number);
    await second.arrives('heading', /./);
    expect(await second.text(), 'the first slip lies under the flap').not.toContain('amethystina');
    await second.use('link', 'Put a name to it');
    await second.finds('region', `Views of ${found.number}`);
    await second.tabTo('combobox', 'Put a name to it');
    await second.type('Laccaria bicolor');
    await second.hears('Not on the season’s checklist.');
    await second.use('button', 'Paste the slip');
    await second.hears(`Laccaria bicolor is pasted on ${found.number}.`);
  });

  step('the current name is what both share, and both slips are there', async () => {
    await second.use('link', `Back to ${found.number}`);
    await second.use('link', `The record sheet of ${found.number}`);
    await second.arrives('heading', 'Laccaria sp.');
    await second.hears('What they share is Laccaria.');
    found.address = second.page.url();
    expect(await second.all('article')).toEqual(['Newest slip', 'Earlier slip']);
    await second.hears('Laccaria bicolor');
    await second.hears('Laccaria cf. amethystina');
    await second.hears('not on the season’s checklist');
  });

  step('the first leaves another at genus, passes one on', async () => {
    await first.finds('region', /^Views of W26-/);
    const at = async () => (await first.finds('region', /^Views of W26-/)).name.replace('Views of ', '');
    const genus = await at();
    expect(genus).not.toBe(found.number);
    await first.tabTo('combobox', 'Put a name to it');
    await first.type('Mycena');
    await first.finds('option', /^Mycena Mycenaceae/, (h) => h.states.selected === true);
    await first.press('Enter');
    await first.use('button', 'Leave at genus');
    await first.hears(`Mycena sp. is pasted on ${genus}.`);
    await first.finds('region', /^Views of W26-/, (h) => h.name !== `Views of ${genus}`);
    const passed = await at();
    await first.use('button', 'Pass to');
    await first.tabTo('combobox', `Pass ${passed} to`);
    await first.type('Tendai');
    await first.finds('combobox', `Pass ${passed} to`, (h) => h.value.startsWith('Tendai Grimsby-Plume'));
    await first.use('button', 'Pass it on');
    await first.hears(`${passed} is passed to Tendai Grimsby-Plume.`);
    await first.finds('region', /^Views of W26-/, (h) => h.name !== `Views of ${passed}`);
    expect((await first.all('link')).filter((l) => l.startsWith(passed)), 'what was passed on waits for somebody else').toEqual([]);
  });

  step('another view is asked for; the recorder reads it in the Daybook, takes it, and the request is gone', async () => {
    await first.use('link', 'Record book');
    await first.arrives('heading', 'Record book');
    await first.fill('searchbox', 'Look for', 'W26-0024');
    await first.hears('1 record, out of');
    await first.use('link', 'W26-0024');
    await first.use('button', 'Ask for more', { most: 60 });
    await first.use('button', 'surroundings');
    await first.hears('Asked for: surroundings.');

    await recorder.use('link', 'Daybook');
    await recorder.use('link', /^Sunday 27 September/);
    await recorder.hears('A view of the surroundings would help: what it grows on and the trees near by.');
    await recorder.use('link', 'Take it now: surroundings of W26-0024');
    await recorder.arrives('heading', 'Surroundings');
    await recorder.chooses('button', 'Take or choose a photograph', [file('IMG_2051.jpg')]);
    await recorder.hears('1 of 1 handed in.');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'What does it look like?');
    for (const heading of ['When did you find it?', 'Where did you find it?', 'What does it grow on?', 'How do they grow?', 'How many do you see?', 'How ripe is it?', 'What does it smell of?', 'Do you know its name?', 'Anything else?', 'What you have said']) {
      await recorder.use('button', /^(Next|Skip this) question$/);
      await recorder.arrives('heading', heading);
    }
    await recorder.use('button', 'Keep the changes');
    await recorder.arrives('heading', 'W26-0024 is changed');
    await recorder.use('link', 'Back to the Daybook');
    await recorder.arrives('heading', 'Daybook');
    await recorder.finds('link', / W26-0024 /);
    expect(await recorder.text()).not.toContain('A view of the surroundings would help');
  });

  step('a recorder gets no data of the table or the squares, but a plain sentence', async () => {
    for (const [place, says] of [['table', 'does not let you open the table'], ['squares', 'does not let you open Squares'], ['desk', 'The Season desk is the coordinator’s.']] as const) {
      recorder.expects(403);
      await recorder.open(`${program.address}/${place}`);
      await recorder.hears(says);
      expect(await recorder.text()).not.toMatch(/W26-\d{4}|Blunderbusk/);
    }
  });

  step('the Record book is searched, sorted and narrowed by a fact', async () => {
    await coordinator.use('link', 'Record book', { back: true });
    await coordinator.arrives('heading', 'Record book');
    await coordinator.hears('1 to 50 of 124 records');
    const links = async () => (await coordinator.all('link')).filter((l) => /^W26-\d{4}$/.test(l));
    expect((await links())[0], 'newest first').toBe(inHand.number);
    await coordinator.use('button', 'number');
    await coordinator.until('W26-0001 first', async () => (await links())[0] === 'W26-0001');
    await coordinator.tabTo('checkbox', /^opinions differ \d+$/, { back: true });
    await coordinator.press('Space');
    await coordinator.hears('out of 124 in the book');
    expect(await links()).toContain(found.number);
    await coordinator.fill('searchbox', 'Look for', 'laccaria', { back: true });
    await coordinator.hears('1 record, out of 124 in the book');
    expect(await links()).toEqual([found.number]);
    await coordinator.use('link', 'Show the whole book');
    await coordinator.hears('1 to 50 of 124 records');
  });

  step('Squares lists the squares in a table that tells the same as the map', async () => {
    await coordinator.use('link', 'Squares', { back: true });
    await coordinator.arrives('heading', 'Where the season has been');
    await coordinator.finds('table', 'Squares with records, fullest first');
    const squares = (await coordinator.all('rowheader')).filter((n) => n !== '');
    expect(squares.length).toBeGreaterThan(5);
    await coordinator.use('button', squares[0]!);
    await coordinator.hears(`In ${squares[0]}: W26-`);
    await coordinator.tabTo('radio', '1 km', { back: true });
    await coordinator.press('ArrowDown');
    await coordinator.finds('radio', '10 km', (h) => h.states.checked === 'true');
    await coordinator.until('fewer squares', async () => (await coordinator.all('rowheader')).length < squares.length);
  });

  step('version 1 is deposited after a second look', async () => {
    await coordinator.use('link', 'Deposits', { back: true });
    await coordinator.hears('Nothing stops the deposit');
    await coordinator.use('button', 'Deposit version 1');
    await coordinator.arrives('textbox', 'Remark, if you like');
    await coordinator.type('after the old wood');
    await coordinator.use('button', 'Yes, deposit version 1');
    await coordinator.hears('Version 1 is deposited with 124 records.');
  });

  step('an outsider downloads it, and trug read finds the name and the same counts', async () => {
    outsider = await comesIn('outsider', phone, `${program.address}/`);
    await outsider.hears('Deposit 1, 10 October 2026');
    const said = /(\d+) records, (\d+) views, (\d+) determinations\. The place of (\d+) is kept back\./.exec(await outsider.text())?.slice(1).map(Number);
    await outsider.tabTo('link', /^Download deposit 1, /);
    const [download] = await Promise.all([outsider.page.waitForEvent('download'), outsider.press('Enter')]);
    const archive = join(data.path, 'downloaded.zip');
    await download.saveAs(archive);

    const inWords = /(\d+) records, .*; (\d+) photographs, (\d+) determinations, .*\nThe place of (\d+) records is withheld\./.exec(run('read', archive))?.slice(1).map(Number);
    expect(inWords).toEqual(said);
    const json = run('read', archive, '--json');
    const read = JSON.parse(json) as Deposit;
    const sum = (count: (f: Find) => number) => read.Finds.reduce((n, f) => n + count(f), 0);
    expect([read.Finds.length, sum((f) => f.Views?.length ?? 0), sum((f) => f.Slips?.length ?? 0)]).toEqual(said?.slice(0, 3));
    expect(json, 'field numbers stay inside').not.toContain(found.number);

    const mine = read.Finds.filter((f) => f.FieldName.name === 'amethyst deceiver');
    expect(mine.map((f) => [f.Name.Name, f.Name.Rank, f.Views?.length, f.NumberSeen])).toEqual([['Laccaria', 'genus', 4, 9]]);
    expect(mine[0]!.Slips!.map((s) => `${s.Name.Name} ${s.Name.Qualifier}`.trim()).sort()).toEqual(['Laccaria amethystina cf.', 'Laccaria bicolor']);
  });

  step('out of reach nothing is lost: the record is kept on the phone, and sent when the program is there again', async () => {
    await recorder.open(`${program.address}/new`);
    await recorder.use('button', 'No photograph: named in the hand');
    await recorder.fill('textbox', 'Do you know its name?', 'hedgehog fungus');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'Anything else?');
    await recorder.use('button', 'Skip this question');
    await recorder.arrives('heading', 'What you have said');
    for (const person of people) person.expects('out of reach');
    await program.stop();
    await recorder.use('button', 'Keep the record');
    await recorder.arrives('heading', 'Kept on this phone');
    await recorder.hears('1 record is kept on this phone');
    program = await serve('demo', data.path, { port: new URL(program.address).port });
    await recorder.open(`${program.address}/daybook`);
    await recorder.finds('link', /hedgehog fungus/);
    await recorder.until('the phone to have nothing left', async () => !(await recorder.text()).includes('Kept on this phone'));
  });

  step('after the second start every record and slip is still there', async () => {
    await recorder.finds('link', new RegExp(`${found.number} .*All four views\\.$`));
    await recorder.finds('link', new RegExp(inHand.number));
    // The same link leads in as before.
    const again = await comesIn('determiner, again', desk, program.links.get('determiner')!);
    await again.hears('finds wait');
    await again.open(new URL(new URL(found.address).pathname, program.address).href);
    await again.finds('heading', 'Laccaria sp.');
    await again.hears('Laccaria cf. amethystina');
    await again.hears('Laccaria bicolor');
    for (const person of people) person.expects('out of reach');
    await program.stop();
    expect(run('check', '--data', data.path)).toContain('Rows, history and files agree.');
    stopped = true;
  });
});

/** What `trug read --json` prints, as far as it is looked at here. */
interface Deposit { Finds: Find[] }
interface Find {
  FieldName: { name?: string };
  NumberSeen: number;
  Name: { Name: string; Rank: string };
  Views: unknown[] | null;
  Slips: { Name: { Name: string; Qualifier: string } }[] | null;
}
