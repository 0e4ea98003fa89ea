/** A season of one's own from an empty folder, by keyboard and by ear: set up, a person added, a checklist, a record, and all of it there after a second start. */
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect } from 'vitest';
import { desk, openBrowser, Person, phone } from './person';
import { freshFolder, run, serve, type Serving } from './program';
import { story } from './steps';

describe('a season of one’s own, by keyboard and by ear', () => {
  const data = freshFolder('setup');
  const today = { today: '2026-10-10' };
  let program: Serving;
  let stopped = false;
  let browser: Browser;
  let coordinator: Person, recorder: Person;
  let code = '';
  let number = '';
  const people: Person[] = [];
  const step = story(() => people);

  async function comesIn(who: string, size: { width: number; height: number }, address: string): Promise<Person> {
    const person = await Person.at(browser, who, size);
    people.push(person);
    person.expects(404); // there is no season yet
    await person.open(address);
    return person;
  }

  beforeAll(async () => {
    program = await serve('serve', data.path, today);
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    if (!stopped) await program?.stop();
    data.remove();
  });

  step('whoever has not the set-up link can set up nothing', async () => {
    const passerBy = await comesIn('passer-by', phone, `${program.address}/setup`);
    await passerBy.finds('heading', 'No season yet');
    await passerBy.hears('A season is set up through the link that was printed when the server was started.');
    expect(await passerBy.all('textbox')).toEqual([]);
  });

  step('the printed link leads to the questions; what is missing is said at its field', async () => {
    coordinator = await comesIn('coordinator', desk, [...program.links.values()][0]!);
    await coordinator.finds('heading', 'Set up a season');
    await coordinator.use('button', 'Set up the season');
    const first = await coordinator.arrives('textbox', 'Title');
    expect(first.states.invalid).toBe('true');
    expect(first.description).toContain('The season needs a title.');
  });

  step('the questions are answered and the season is set up', async () => {
    await coordinator.write('Fungi of Sallow Down 2026');
    await coordinator.fill('textbox', 'Place in words', 'Sallow Down');
    await coordinator.writeDate('First day', '2026-09-19');
    await coordinator.writeDate('Last day', '2026-11-08');
    await coordinator.fill('textbox', 'Two opposite corners, if you have them', '48.45, -20.1 48.60, -19.8');
    await coordinator.finds('textbox', 'Western edge', (h) => h.value === '-20.1');
    await coordinator.hears('The box is 22 km wide and 17 km high.');
    await coordinator.fill('textbox', 'Rights holder', 'Sallow Down Fungus Group');
    await coordinator.fill('textbox', 'Contact', 'Sallow Down Fungus Group');
    await coordinator.fill('textbox', 'Your name, as coordinator', 'Ottoline Marchbank');
    await coordinator.use('button', 'Set up the season');
    await coordinator.arrives('heading', 'The season is set up');
    await coordinator.finds('textbox', 'Your link', (h) => h.value.includes('/invitation#'));
    await coordinator.use('link', 'Come in as coordinator');
    await coordinator.arrives('heading', 'Come in, Ottoline Marchbank');
    await coordinator.fill('textbox', 'Password', 'mossy heron by lamplight');
    await coordinator.use('button', 'Use this password');
    await coordinator.arrives('group', 'Recovery codes');
    await coordinator.use('link', 'I have them: go on');
    await coordinator.finds('button', 'Leave: you came in as Ottoline Marchbank');
    await coordinator.finds('link', 'Fungi of Sallow Down 2026');
  });

  step('a person is added, and a field code is made for recorders', async () => {
    await coordinator.use('link', 'Season desk');
    await coordinator.arrives('heading', 'Season desk');
    await coordinator.use('link', 'People');
    await coordinator.arrives('heading', 'People');
    await coordinator.use('link', 'Add a person');
    await coordinator.arrives('heading', 'A new person');
    await coordinator.fill('textbox', 'Name inside the season', 'Wren Hollowbrook');
    await coordinator.use('button', 'Add this person');
    await coordinator.hears('Wren Hollowbrook is added.');
    await coordinator.use('link', 'Coming in', { back: true });
    await coordinator.arrives('heading', 'Coming in');
    await coordinator.use('button', 'Make the field code');
    await coordinator.hears('The season is not open to recorders yet');
    code = /[0-9A-Z]{4}-[0-9A-Z]{4}/.exec(await coordinator.text())![0];
  });

  step('a small checklist is handed in; the row that cannot be read is told', async () => {
    await coordinator.use('link', 'Names', { back: true });
    await coordinator.arrives('heading', 'Names');
    await coordinator.chooses('button', 'Hand in names as CSV', [fileURLToPath(new URL('files/checklist.csv', import.meta.url))]);
    await coordinator.hears('5 names added');
    await coordinator.hears('1 fault');
  });

  step('until the season is open the recorder is told to come back', async () => {
    recorder = await comesIn('recorder', phone, `${program.address}/join#${code}`);
    await recorder.fill('textbox', 'What may we call you?', 'Wren');
    recorder.expects(403, 404);
    await recorder.use('button', 'Come in');
    await recorder.hears('Fungi of Sallow Down 2026 is not open to recorders yet. Come back when the coordinator says so.');
  });

  step('an emergency number, a site with its permission as a circle, and the season is opened', async () => {
    await coordinator.use('link', 'Desk', { back: true });
    await coordinator.arrives('heading', 'Season desk');
    await coordinator.hears('No emergency number is set: people must know whom to call.');
    await coordinator.fill('textbox', 'Emergency number', '555 0100');
    await coordinator.use('button', 'Keep the settings');
    await coordinator.hears('The settings are kept.');
    await coordinator.use('link', 'Sites', { back: true });
    await coordinator.arrives('heading', 'Sites');
    await coordinator.use('link', 'Add a site');
    await coordinator.arrives('heading', 'A new site');
    await coordinator.fill('textbox', 'Name', 'Sallow Copse');
    await coordinator.tabTo('radio', /^None is known\./);
    await coordinator.press('ArrowUp');
    await coordinator.tabTo('radio', /^Its outline/);
    await coordinator.press('ArrowDown');
    await coordinator.fill('textbox', 'Latitude of the middle', '48.5210');
    await coordinator.fill('textbox', 'Longitude of the middle', '-19.9540');
    await coordinator.fill('textbox', 'Radius in metres', '350');
    await coordinator.use('button', 'Keep this site');
    await coordinator.finds('heading', 'Sallow Copse');
    await coordinator.use('link', 'Desk', { back: true });
    await coordinator.arrives('heading', 'Season desk');
    await coordinator.use('button', 'Open the season to recorders');
    await coordinator.hears('The season is open to recorders since 10 October 2026.');
  });

  step('the field code lets the recorder in, who makes a record', async () => {
    await recorder.use('button', 'Come in');
    await recorder.finds('heading', 'Daybook');
    await recorder.use('link', 'Your first find');
    await recorder.arrives('heading', 'Your first find');
    await recorder.use('button', 'I know how: leave this', { back: true });
    await recorder.arrives('heading', 'Top');
    await recorder.use('button', 'No photograph: named in the hand');
    await recorder.arrives('heading', 'Do you know its name?');
    await recorder.fill('textbox', 'Do you know its name?', 'Laccaria laccata');
    await recorder.use('button', 'Next question');
    await recorder.arrives('heading', 'Anything else?');
    await recorder.use('button', 'Skip this question');
    await recorder.arrives('heading', 'What you have said');
    await recorder.use('button', 'Keep the record');
    number = (await recorder.arrives('heading', /^S26-\d{4} is kept$/)).name.replace(' is kept', '');
  });

  step('the coordinator, who is a determiner too, puts a name to it from the checklist', async () => {
    await coordinator.use('link', 'The table', { back: true });
    await coordinator.finds('region', `Views of ${number}`);
    await coordinator.tabTo('combobox', 'Put a name to it');
    await coordinator.type('cli la');
    await coordinator.finds('option', /^Clitocybe laccata.* now Laccaria laccata/, (h) => h.states.selected === true);
    await coordinator.press('Enter');
    await coordinator.hears('A synonym of Laccaria laccata.');
    await coordinator.use('button', 'Paste the slip');
    await coordinator.hears(`Clitocybe laccata is pasted on ${number}.`);
    await coordinator.finds('heading', 'The table');
    await coordinator.hears('Nothing waits for you');
  });

  step('after a second start the record, its name and the ways in are still there, and the set-up link is closed', async () => {
    for (const person of people) person.expects('out of reach', 404);
    const setup = new URL([...program.links.values()][0]!).pathname;
    await program.stop();
    program = await serve('serve', data.path, { ...today, port: new URL(program.address).port });
    await recorder.page.reload();
    await recorder.open(`${program.address}/daybook`);
    await recorder.finds('link', new RegExp(number));
    await recorder.hears('det. O. Marchbank');
    const again = await comesIn('coordinator, again', desk, `${program.address}/sign-in`);
    await again.fill('textbox', 'Name', 'Ottoline Marchbank');
    await again.fill('textbox', 'Password', 'mossy heron by lamplight');
    await again.use('button', 'Sign in');
    await again.finds('button', 'Leave: you came in as Ottoline Marchbank');
    const late = await comesIn('late', phone, program.address + setup);
    await late.hears('Fungi of Sallow Down 2026');
    await late.open(`${program.address}/setup`);
    await late.finds('heading', 'The season is set up already');
    for (const person of people) person.expects('out of reach', 404);
    await program.stop();
    stopped = true;
    expect(run('check', '--data', data.path)).toContain('Rows, history and files agree.');
  });
});
