/**
 * What somebody hears who does not see the screen: the accessibility tree that
 * the browser hands to a screen reader. Nothing here looks at the document.
 */
import type { CDPSession } from 'playwright-core';

/** A thing in the tree. */
export interface Heard {
  role: string;
  name: string;
  value: string;
  description: string;
  /** checked, expanded, selected, pressed, invalid, disabled, current … as they are told. */
  states: Record<string, unknown>;
  depth: number;
}

interface AXValue { value?: unknown }
interface AXNode {
  nodeId: string;
  ignored: boolean;
  role?: AXValue;
  name?: AXValue;
  value?: AXValue;
  description?: AXValue;
  properties?: { name: string; value: AXValue }[];
  childIds?: string[];
}

/**
 * one makes lines, no-break spaces and repeated spaces into single spaces. The
 * browser sets a space before words that only a listener gets, even before a
 * colon; nobody hears it.
 */
export const one = (text: string) => text.replace(/\s+/g, ' ').replace(/ ([:;,.])/g, '$1').trim();

// Words that belong to one sentence may lie in several nodes, and whether a
// space parts them lies in the layout: texts are compared without any.
const bare = (text: string) => text.replace(/\s+/g, '');

function heard(node: AXNode, depth: number): Heard {
  const text = (v?: AXValue) => (v?.value === undefined || v.value === null ? '' : String(v.value));
  return {
    role: text(node.role),
    name: one(text(node.name)),
    value: one(text(node.value)),
    description: one(text(node.description)),
    states: Object.fromEntries((node.properties ?? []).map((p) => [p.name, p.value.value])),
    depth,
  };
}

/** tree returns all that can be heard, in its order. */
export async function tree(cdp: CDPSession): Promise<Heard[]> {
  const { nodes } = (await cdp.send('Accessibility.getFullAXTree')) as { nodes: AXNode[] };
  const byId = new Map(nodes.map((n) => [n.nodeId, n]));
  const all: Heard[] = [];
  const walk = (node: AXNode, depth: number) => {
    const said = !node.ignored && node.role?.value !== 'InlineTextBox';
    if (said) all.push(heard(node, depth));
    for (const id of node.childIds ?? []) {
      const child = byId.get(id);
      if (child) walk(child, depth + (said ? 1 : 0));
    }
  };
  if (nodes[0]) walk(nodes[0], 0);
  return all;
}

/** focused returns the thing that has the keyboard. */
export async function focused(cdp: CDPSession): Promise<Heard> {
  const { result } = await cdp.send('Runtime.evaluate', { expression: 'document.activeElement ?? document.body' });
  const { nodes } = (await cdp.send('Accessibility.getPartialAXTree', { objectId: result.objectId, fetchRelatives: false })) as unknown as { nodes: AXNode[] };
  return nodes[0] ? heard(nodes[0], 0) : { role: '', name: '', value: '', description: '', states: {}, depth: 0 };
}

/** aloud writes the tree as text, for messages and for looking at it. */
export function aloud(all: Heard[]): string {
  return all
    .filter((h) => h.role !== 'StaticText' || h.name !== '')
    .map((h) => `${'  '.repeat(Math.min(h.depth, 8))}${h.role}${h.name ? ` "${h.name}"` : ''}${h.value ? ` = ${h.value}` : ''}`)
    .join('\n');
}

/** says tells whether a text can be heard: over several nodes, or as name, value or description of one. */
export function says(all: Heard[], text: string): boolean {
  const wanted = bare(text);
  if (bare(all.filter((h) => h.role === 'StaticText').map((h) => h.name).join('')).includes(wanted)) return true;
  return all.some((h) => [h.name, h.value, h.description].some((t) => bare(t).includes(wanted)));
}

/** fits tells whether a name is the one meant: the whole of it, or what a pattern asks. */
export function fits(name: string, wanted: string | RegExp): boolean {
  return typeof wanted === 'string' ? name === wanted : wanted.test(name);
}
