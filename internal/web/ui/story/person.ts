/** Somebody at a browser who uses the keyboard alone and hears the screen instead of seeing it. */
import { chromium, type Browser, type BrowserContext, type BrowserContextOptions, type CDPSession, type Page } from 'playwright-core';
import { aloud, fits, focused, one, says, tree, type Heard } from './listener';

/** A phone held upright, and a desk. */
export const phone = { width: 390, height: 844 };
export const desk = { width: 1440, height: 900 };

/** Milliseconds to wait for what is to come: long enough for a slow machine that draws photographs beside it. */
const patience = Number(process.env.PATIENCE ?? 90_000);

/** openBrowser starts Chromium; CHROMIUM names another than the system's. */
export function openBrowser(...more: string[]): Promise<Browser> {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--force-color-profile=srgb', ...more],
  });
}

async function until<T>(look: () => Promise<T | undefined>, failed: () => Promise<string>, within = patience): Promise<T> {
  const ends = Date.now() + within;
  for (;;) {
    const found = await look();
    if (found !== undefined) return found;
    if (Date.now() > ends) throw new Error(await failed());
    await new Promise((done) => setTimeout(done, 60));
  }
}

/** Person is one browser window of one person. */
export class Person {
  /** What went wrong in the page: thrown errors, and errors in its console. */
  private wrong: string[] = [];
  private expected = new Set<number | 'out of reach'>();
  /** How many keys were pressed. */
  keys = 0;

  private constructor(
    readonly who: string,
    readonly context: BrowserContext,
    readonly page: Page,
    readonly cdp: CDPSession,
  ) {}

  /** at opens a window of its own for somebody, as a private window is. */
  static async at(browser: Browser, who: string, viewport: { width: number; height: number }, more: BrowserContextOptions = {}): Promise<Person> {
    const context = await browser.newContext({ viewport, locale: 'en-GB', acceptDownloads: true, permissions: ['clipboard-read', 'clipboard-write'], ...more });
    const page = await context.newPage();
    const person = new Person(who, context, page, await context.newCDPSession(page));
    // Listened to from the start: choosers are caught only where somebody listens, and a first key would come too early.
    page.on('filechooser', () => undefined);
    page.on('pageerror', (e) => person.wrong.push(`thrown: ${e.message}`));
    page.on('console', (m) => {
      if (m.type() !== 'error') return;
      const status = /net::ERR_(CONNECTION|EMPTY)/.test(m.text()) ? 'out of reach' : Number(/status of (\d+)/.exec(m.text())?.[1] ?? 0);
      if (!person.expected.has(status)) person.wrong.push(`${m.text()} (${m.location().url})`);
    });
    return person;
  }

  /** expects says which refusals belong to what is done next: the browser writes each into its console. */
  expects(...refusals: (number | 'out of reach')[]): void {
    this.expected = new Set(refusals);
  }

  /** faults returns what went wrong in the page since it was last asked. */
  faults(): string[] {
    return this.wrong.splice(0).map((w) => `${this.who}: ${w}`);
  }

  /** open types an address into the address bar. */
  async open(address: string): Promise<void> {
    await this.page.goto(address, { timeout: patience });
  }

  async press(key: string, times = 1): Promise<void> {
    for (let n = 0; n < times; n++) {
      this.keys++;
      await this.page.keyboard.press(key);
    }
  }

  async type(text: string): Promise<void> {
    this.keys += text.length;
    await this.page.keyboard.type(text);
  }

  /** write puts a text in place of what stands in the field. */
  async write(text: string): Promise<void> {
    await this.press('Control+a');
    if (text === '') await this.press('Delete');
    else await this.type(text);
  }

  /** writeDate goes to a date's field and types the day, whichever order the browser asks for. */
  async writeDate(name: string, date: string, how: { back?: boolean } = {}): Promise<void> {
    await this.tabTo('Date', name, how);
    const [year, month, day] = date.split('-') as [string, string, string];
    const parts = (await this.hear()).filter((h) => h.role === 'spinbutton' && /^(Day|Month|Year)\b/.test(h.name));
    if (parts.length < 3) throw new Error(`no parts of a date on\n${await this.aloud()}`);
    for (const part of parts.slice(0, 3)) await this.type(part.name.startsWith('Day') ? day : part.name.startsWith('Month') ? month : year);
  }

  focused(): Promise<Heard> {
    return focused(this.cdp);
  }

  hear(): Promise<Heard[]> {
    return tree(this.cdp);
  }

  /** tabTo presses Tab until something has the keyboard; failing shows that the keyboard does not reach it. */
  async tabTo(role: string, name: string | RegExp, how: { back?: boolean; most?: number } = {}): Promise<Heard> {
    const passed: string[] = [];
    for (let n = 0; n <= (how.most ?? 250); n++) {
      const now = await this.focused();
      if (now.role === role && fits(now.name, name)) return now;
      passed.push(`${now.role} "${now.name}"`);
      await this.press(how.back ? 'Shift+Tab' : 'Tab');
    }
    throw new Error(`${this.who} does not reach ${role} ${String(name)} by Tab; passed\n${[...new Set(passed)].join('\n')}\n\non\n${await this.aloud()}`);
  }

  /** arrowTo goes through a row of answers with an arrow key; the one reached is chosen. */
  async arrowTo(key: 'ArrowUp' | 'ArrowDown', role: string, name: string): Promise<void> {
    for (let n = 0; n < 60; n++) {
      const now = await this.focused();
      if (now.role === role && now.name === name && now.states.checked !== 'false') return;
      await this.press(key);
    }
    throw new Error(`${this.who} does not come to ${role} ${name} by ${key} on\n${await this.aloud()}`);
  }

  /** use goes to something and presses Enter on it. */
  async use(role: string, name: string | RegExp, how: { back?: boolean; most?: number } = {}): Promise<void> {
    await this.tabTo(role, name, how);
    await this.press('Enter');
  }

  /** fill goes to a field and writes into it. */
  async fill(role: string, name: string | RegExp, text: string, how: { back?: boolean } = {}): Promise<void> {
    await this.tabTo(role, name, how);
    await this.write(text);
  }

  /** arrives waits until the keyboard stands at something by itself, as at the heading of a new page. */
  async arrives(role: string, name: string | RegExp): Promise<Heard> {
    return until(
      async () => {
        const now = await this.focused();
        return now.role === role && fits(now.name, name) ? now : undefined;
      },
      async () => `${this.who}: the keyboard does not come to ${role} ${String(name)}; it stands at ${JSON.stringify(await this.focused())}, on\n${await this.aloud()}`,
    );
  }

  /** hears waits for a text. */
  async hears(text: string): Promise<void> {
    await until(async () => (says(await this.hear(), text) ? true : undefined), async () => `${this.who} does not hear “${text}” on\n${await this.aloud()}`);
  }

  /** finds waits for a thing. */
  async finds(role: string, name: string | RegExp, also: (h: Heard) => boolean = () => true): Promise<Heard> {
    return until(
      async () => (await this.hear()).find((h) => h.role === role && fits(h.name, name) && also(h)),
      async () => `${this.who} finds no such ${role} ${String(name)} on\n${await this.aloud()}`,
    );
  }

  /** until waits for whatever else is to come about. */
  async until(what: string, is: () => Promise<boolean>): Promise<void> {
    await until(async () => ((await is()) ? true : undefined), async () => `${this.who} waits in vain for ${what} on\n${await this.aloud()}`);
  }

  /** all lists the things of a role, by name. */
  async all(role: string): Promise<string[]> {
    return (await this.hear()).filter((h) => h.role === role).map((h) => h.name);
  }

  /** text is all that is said, as one line. */
  async text(): Promise<string> {
    return one((await this.hear()).filter((h) => h.role === 'StaticText').map((h) => h.name).join(' '));
  }

  async aloud(): Promise<string> {
    return `${this.page.url()}\n${aloud(await this.hear()).slice(0, 6000)}`;
  }

  /** chooses picks files through the chooser that a key opens. */
  async chooses(role: string, name: string | RegExp, files: string[]): Promise<void> {
    await this.tabTo(role, name);
    const [chooser] = await Promise.all([this.page.waitForEvent('filechooser', { timeout: patience }), this.press('Enter')]);
    await chooser.setFiles(files);
  }
}
