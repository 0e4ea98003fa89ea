// Names of people by their identifiers, asked for one by one: a form names a few of fifty thousand.
import { SvelteMap } from 'svelte/reactivity';
import { get } from '../api/call';
import type { EditablePerson } from '../api/person';
import type { ID } from '../api/types';

/** PersonNames knows those it was told of, and asks for others once where it may. */
export class PersonNames {
  private readonly names = new SvelteMap<ID, string>();
  private readonly asked = new Set<ID>();

  /** `mayAsk` is set for coordinators: others are told names with the foray alone. */
  constructor(private readonly mayAsk: () => boolean) {}

  know(id: ID | undefined, name: string | undefined): void {
    if (id && name) this.names.set(id, name);
  }

  /** of returns a name, '' while it is not known. */
  of(id: ID): string {
    const name = this.names.get(id);
    if (name !== undefined || id === '') return name ?? '';
    if (this.mayAsk() && !this.asked.has(id)) {
      this.asked.add(id);
      get<EditablePerson>(`/people/${encodeURIComponent(id)}`).then(
        (p) => this.names.set(id, p.name),
        () => undefined,
      );
    }
    return '';
  }
}
