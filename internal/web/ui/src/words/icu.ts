/**
 * Messages in the notation of ICU (MessageFormat 1): {name}, {n, plural, =0 {…} one {…} other {…}}, {x, select, a {…}
 * other {…}}, # for the number, and apostrophes that quote braces. What else ICU knows (dates, skeletons, offsets) we
 * don't use. A test holds it against intl-messageformat, which would weigh ten times as much on the phone.
 */
export type Values = Record<string, string | number>;

type Part = string | { arg: string } | { hash: true } | { arg: string; kind: 'plural' | 'select'; ways: Map<string, Part[]> };

const parsed = new Map<string, Part[]>();

/** parse reads a message; it throws for one that is none. */
export function parse(message: string): Part[] {
  let parts = parsed.get(message);
  if (!parts) parsed.set(message, (parts = new Reader(message).whole()));
  return parts;
}

class Reader {
  private at = 0;
  constructor(private readonly text: string) {}

  whole(): Part[] {
    const parts = this.parts(0);
    if (this.at < this.text.length) throw this.wrong('a brace that nothing opened');
    return parts;
  }

  private wrong(what: string): Error {
    return new Error(`"${this.text}" at ${this.at}: ${what}`);
  }

  /** parts reads up to the brace that ends them; plural says how deep in plurals: there # is the number. */
  private parts(plural: number): Part[] {
    const out: Part[] = [];
    let text = '';
    const put = (part: Part) => {
      if (text !== '') out.push(text);
      text = '';
      out.push(part);
    };
    while (this.at < this.text.length) {
      const c = this.text[this.at]!;
      if (c === '}') break;
      if (c === '{') put(this.argument(plural));
      else if (c === '#' && plural > 0) {
        this.at++;
        put({ hash: true });
      } else if (c === "'") text += this.quoted(plural);
      else {
        text += c;
        this.at++;
      }
    }
    if (text !== '') out.push(text);
    return out;
  }

  /** quoted reads an apostrophe: two are one, one before a brace (or # in a plural) quotes up to the next. */
  private quoted(plural: number): string {
    const next = this.text[++this.at];
    if (next === "'") {
      this.at++;
      return "'";
    }
    if (next !== '{' && next !== '}' && !(next === '#' && plural > 0)) return "'";
    let out = '';
    while (this.at < this.text.length) {
      const c = this.text[this.at++]!;
      if (c !== "'") out += c;
      else if (this.text[this.at] === "'") {
        out += "'";
        this.at++;
      } else break;
    }
    return out;
  }

  private word(): string {
    const [whole, word] = /^\s*([^\s{},#']+)\s*/.exec(this.text.slice(this.at)) ?? [];
    if (!word) throw this.wrong('a name is missing');
    this.at += whole!.length;
    return word;
  }

  private take(c: string): void {
    if (this.text[this.at] !== c) throw this.wrong(`"${c}" is missing`);
    this.at++;
  }

  private argument(plural: number): Part {
    this.take('{');
    const arg = this.word();
    if (this.text[this.at] === '}') {
      this.at++;
      return { arg };
    }
    this.take(',');
    const kind = this.word();
    if (kind !== 'plural' && kind !== 'select') throw this.wrong(`"${kind}" is not used here`);
    this.take(',');
    const ways = new Map<string, Part[]>();
    while (this.text[this.at] !== '}') {
      const way = this.word();
      this.take('{');
      ways.set(way, this.parts(kind === 'plural' ? plural + 1 : plural));
      this.take('}');
      while (/\s/.test(this.text[this.at] ?? '')) this.at++;
      if (this.at >= this.text.length) throw this.wrong('a brace is not closed');
    }
    this.at++;
    if (!ways.has('other')) throw this.wrong('there is no "other"');
    return { arg, kind, ways };
  }
}

const numbers = new Map<string, Intl.NumberFormat>();
const rules = new Map<string, Intl.PluralRules>();

/** numberIn writes a number as a language does. */
export function numberIn(language: string, n: number): string {
  let f = numbers.get(language);
  if (!f) numbers.set(language, (f = new Intl.NumberFormat(language)));
  return f.format(n);
}

function waysOf(language: string, n: number): string {
  let r = rules.get(language);
  if (!r) rules.set(language, (r = new Intl.PluralRules(language)));
  return r.select(n);
}

/** format writes a message in a language with its values. */
export function format(language: string, message: string, values: Values = {}): string {
  return written(language, parse(message), values, 0);
}

function written(language: string, parts: Part[], values: Values, number: number): string {
  let out = '';
  for (const p of parts) {
    if (typeof p === 'string') out += p;
    else if ('hash' in p) out += numberIn(language, number);
    else if (!('kind' in p)) {
      const v = values[p.arg];
      out += typeof v === 'number' ? numberIn(language, v) : (v ?? '');
    } else {
      const v = values[p.arg];
      const n = Number(v);
      const way = p.kind === 'select' ? p.ways.get(String(v).replace(/[\u2068\u2069]/g, '')) : (p.ways.get(`=${n}`) ?? p.ways.get(waysOf(language, n)));
      out += written(language, way ?? p.ways.get('other')!, values, p.kind === 'plural' ? n : number);
    }
  }
  return out;
}

/** shapeOf tells which values a message takes, and by which ways it tells them apart. */
export function shapeOf(message: string): string[] {
  const out = new Set<string>();
  const walk = (parts: Part[]) => {
    for (const p of parts) {
      if (typeof p === 'string' || 'hash' in p) continue;
      out.add('kind' in p ? `${p.arg}, ${p.kind}` : p.arg);
      if ('kind' in p) for (const w of p.ways.values()) walk(w);
    }
  };
  walk(parse(message));
  return [...out].sort();
}

/** pluralsOf lists for each plural of a message by which ways it tells numbers apart. */
export function pluralsOf(message: string): string[][] {
  const out: string[][] = [];
  const walk = (parts: Part[]) => {
    for (const p of parts) {
      if (typeof p === 'string' || !('kind' in p)) continue;
      if (p.kind === 'plural') out.push([...p.ways.keys()]);
      for (const w of p.ways.values()) walk(w);
    }
  };
  walk(parse(message));
  return out;
}

/** changed writes a message anew with its texts changed, its arguments left as they are. */
export function changed(message: string, change: (text: string) => string): string {
  const write = (parts: Part[]): string =>
    parts
      .map((p) => {
        if (typeof p === 'string') return change(p).replaceAll("'", "''").replace(/[{}#]+/g, "'$&'");
        if ('hash' in p) return '#';
        if (!('kind' in p)) return `{${p.arg}}`;
        return `{${p.arg}, ${p.kind}, ${[...p.ways].map(([w, inner]) => `${w} {${write(inner)}}`).join(' ')}}`;
      })
      .join('');
  return write(parse(message));
}
