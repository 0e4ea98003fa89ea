/** A record being filled in: the draft, its photographs on their way, saving, faults. */
import { get, post, put, Refused, refusalOf } from '../api/call';
import { remember, waitingOf } from '../field/keep';
import { outbox } from '../field/outbox.svelte';
import type { RecordSheet, ShownPhotograph, ViewKind } from '../api/types';
import { Looks } from '../field/looks.svelte';
import { orderOf } from '../parts/words';
import { dropDraft, editableOf, isBegun, photographOf, saveDraft, withCamera, type Draft, type DraftPhotograph } from './draft';
import { changed, guessAnew, inOrder, type Timed } from './guess';
import { inGarden, rememberGarden } from './garden';
import { Handing } from './handing.svelte';
import { allowed, whereNow } from './here';
import { homeOf, type Question } from './questions';
import { Rulings } from './rulings.svelte';
import type { WaitingFile } from './waiting';
import { season } from '../season.svelte';

/** A photograph as the guess sees it. */
type Guessed = Timed & { kind: ViewKind; guessed?: boolean };

/** RecordForm is what the pages of a new or changed record share. */
export class RecordForm {
  draft: Draft = $state()!;
  readonly handing: Handing;
  /** What people may be asked to do where it was found. */
  readonly rulings = new Rulings();
  /** What its photographs show, worked out here or at the server. */
  readonly looks = new Looks();
  fault: Refused | null = $state.raw(null);
  saving = $state(false);
  kept: RecordSheet | null = $state.raw(null);
  /** Set when the record is kept on this phone, to be sent later. */
  onPhone = $state(false);
  /** Set when the device cannot keep the draft: then the page says so. */
  unkept = $state(false);

  constructor(
    draft: Draft,
    private readonly person: string,
    /** Key of the draft: 'new' or the record's identifier. */
    private readonly key: string,
  ) {
    this.draft = draft;
    this.handing = new Handing(
      draft.id,
      (shown, file) => {
        this.looks.came(file.id, shown.id);
        this.came(shown, file);
      },
      (file) => {
        this.looks.begin(file.id, file.kind, file.bytes, file.guessed);
        this.tellLooks();
      },
      person,
      () => this.draft.photographs.length,
    );
  }

  private came(shown: ShownPhotograph, file: WaitingFile): void {
    if (this.draft.photographs.some((p) => p.id === shown.id)) return;
    const photograph = { ...photographOf(shown, file.kind), ...(file.guessed ? { guessed: true } : {}) };
    // The guess lies in the order they were taken in, whichever arrives first; those on their way have their part in it.
    const all = [...this.draft.photographs, photograph];
    const guess = new Map(guessAnew<Guessed>([...all, ...this.coming]).map((p) => [p.id, p.kind]));
    this.draft.photographs = [...all.filter((p) => !p.guessed), ...inOrder(all.filter((p) => p.guessed))].map((p) => ({ ...p, kind: guess.get(p.id) ?? p.kind }));
    this.draft.inTheHand = false;
    Object.assign(this.draft, withCamera(this.draft));
    this.tellLooks();
  }

  /** coming lists what is on its way. */
  private get coming(): Guessed[] {
    return this.handing.files.filter((f) => f.state !== 'refused').map((f) => ({ id: f.file.id, fileName: f.file.name, kind: f.file.kind, guessed: f.file.guessed }));
  }

  /** kinds tells which view each photograph is: one that has come as the draft has it, one on its way as it was said, else by a guess round those. */
  get kinds(): Map<string, ViewKind> {
    const come = this.draft.photographs.map((p) => ({ ...p, guessed: false }));
    return new Map(guessAnew<Guessed>([...come, ...this.coming]).map((p) => [p.id, p.kind]));
  }

  /** tellLooks has each photograph looked at as the view that it is. */
  private tellLooks(): void {
    for (const [id, kind] of this.kinds) this.looks.is(id, kind);
  }

  /** comingIs calls a photograph that is on its way by another kind. */
  comingIs(file: string, kind: ViewKind): void {
    this.handing.is(file, kind);
    this.tellLooks();
  }

  /**
   * standHere takes where this device is for the place of the find, as long as nobody has said where that was: asked
   * when a view is taken, since whoever goes on to the questions may have gone on from the spot as well.
   */
  async standHere(): Promise<void> {
    try {
      const place = await whereNow();
      if (this.draft.placeSaid === 'no') Object.assign(this.draft, { place, placeSaid: 'camera', outsideIsOK: false });
    } catch {
      // It will be asked for among the questions.
    }
  }

  /** useHere takes where this device is for the place of the find, unless something else was said while it was asked. Fails as whereNow does. */
  async useHere(): Promise<void> {
    const said = () => JSON.stringify([this.draft.place, this.draft.placeSaid]);
    const before = said();
    const place = await whereNow();
    if (said() === before) Object.assign(this.draft, { place, placeSaid: 'given', outsideIsOK: false });
  }

  /** noteWhere notes where this device is, once a view was taken just now, if it may tell; true where it has to be asked first. */
  async noteWhere(): Promise<boolean> {
    if (this.draft.placeSaid !== 'no') return false;
    const may = await allowed();
    if (may === 'granted') await this.standHere();
    return may === 'prompt';
  }

  /** keep writes the draft to the device. */
  keep(): void {
    // A find near a garden that was marked before is kept back unless somebody says otherwise.
    if (!this.draft.gardenSaid) this.draft.garden = inGarden(localStorage, this.person, this.draft.place);
    const d = $state.snapshot(this.draft) as Draft;
    d.coming = this.handing.files.length;
    if (this.kept || this.onPhone) return;
    if (!isBegun(d)) {
      dropDraft(localStorage, this.person, this.key);
      return;
    }
    this.unkept = !saveDraft(localStorage, this.person, this.key, d);
  }

  /**
   * is calls a photograph by another kind, as things stood before; the two
   * change places where that puts the order right.
   */
  is(id: string, kind: ViewKind, before: readonly DraftPhotograph[]): void {
    this.draft.photographs = changed(before, id, kind);
    this.tellLooks();
  }

  /** alright settles the guess. */
  alright(): void {
    this.draft.photographs = this.draft.photographs.map((p) => ({ ...p, guessed: false })).sort((a, b) => orderOf(a.kind) - orderOf(b.kind));
    for (const [id, kind] of this.kinds) if (this.handing.files.some((f) => f.file.id === id && f.file.guessed)) this.handing.is(id, kind);
    this.tellLooks();
  }

  /**
   * takeOutKept takes a view out of the record on the server at once. It
   * returns what keeps it from being taken out, '' when it is out.
   */
  async takeOutKept(view: string): Promise<string> {
    try {
      await post<RecordSheet>(`/records/${this.draft.id}/views/${view}/take-out`);
      return '';
    } catch (thrown) {
      return refusalOf(thrown).says;
    }
  }

  /** takeOut leaves a photograph out of the record. */
  takeOut(id: string): void {
    this.draft.photographs = this.draft.photographs.filter((p) => p.id !== id);
    void this.handing.takeOutHanded(id);
    this.looks.drop(id);
    this.tellLooks();
    // Where the phone was stays: the next photograph of the find tells nothing of that.
    if (this.draft.placeSaid === 'camera' && this.draft.place?.source === 'camera' && !this.draft.photographs.some((p) => p.place)) {
      this.draft.place = null;
      this.draft.placeSaid = 'no';
    }
    Object.assign(this.draft, withCamera(this.draft));
  }

  /** leaveOut leaves out a file that has not come. */
  leaveOut(file: string): void {
    this.handing.takeOut(file);
    this.looks.drop(file);
    this.tellLooks();
  }

  /** close lets go of what the page holds of its photographs: it is left. */
  close(): void {
    this.handing.close();
    this.looks.close();
  }

  /** gardenIs says whether it stands in the recorder's own garden. */
  gardenIs(is: boolean): void {
    this.draft.garden = is;
    this.draft.gardenSaid = true;
    rememberGarden(localStorage, this.person, this.draft.place, is);
  }

  /** save hands the record over. Whatever is refused stays as it was entered. */
  async save(): Promise<boolean> {
    this.saving = true;
    this.fault = null;
    try {
      // What waits of this record goes first: both go together, by one message.
      if (this.handing.away || season.away || (await waitingOf(this.draft.id)) || (await this.changedThere())) return await this.keepHere();
      this.kept = await put<RecordSheet>(`/records/${this.draft.id}`, editableOf($state.snapshot(this.draft) as Draft));
      await remember(this.draft.id).catch(() => undefined);
      season.takeAnew();
      dropDraft(localStorage, this.person, this.key);
      this.looks.close();
      await this.handing.done();
      return true;
    } catch (thrown) {
      this.fault = refusalOf(thrown);
      if (this.fault.outOfReach) return await this.keepHere();
      return false;
    } finally {
      this.saving = false;
    }
  }

  /** changedThere tells that somebody has changed the record since it was seen: it goes by a message then, which displaces nobody's word. */
  private async changedThere(): Promise<boolean> {
    const { id, seen, photographs } = this.draft;
    if (seen === undefined) return false;
    const there = await get<RecordSheet>(`/records/${id}`);
    // Calling a view another is counted by the view, not by its record.
    const renamed = (photograph: string) => there.editable?.views?.find((v) => v.photograph === photograph)?.renamed ?? 0;
    return (there.version ?? seen) !== seen || photographs.some((p) => p.kept && renamed(p.id) !== (p.renamed ?? 0));
  }

  /** keepHere keeps the record on this phone with its photographs; it is sent when in reach. */
  async keepHere(): Promise<boolean> {
    const says = await outbox.keep(this, this.person);
    this.fault = says === '' ? null : new Refused(0, says);
    if (says !== '') return false;
    this.onPhone = true;
    this.handing.leave();
    this.looks.close();
    dropDraft(localStorage, this.person, this.key);
    void outbox.look();
    return true;
  }

  /** wrongAt returns what the server found wrong with a question's answer. */
  wrongAt(q: Question): string {
    const fault = this.fault;
    if (!fault) return '';
    const all = fault.faults.length > 0 ? fault.faults : [{ field: fault.field, says: fault.says }];
    return all
      .filter((f) => f.field !== '' && homeOf(f.field) === q)
      .map((f) => f.says)
      .join(' ');
  }

  /** wrongElsewhere is what belongs to no question: out of reach, not allowed. */
  get wrongElsewhere(): string {
    const fault = this.fault;
    if (!fault) return '';
    const placed = fault.faults.length > 0 ? fault.faults.some((f) => homeOf(f.field)) : homeOf(fault.field);
    return placed ? '' : fault.says;
  }
}
