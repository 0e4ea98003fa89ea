/** What is read aloud of a sentence that changes many times a second: only what has stood for a while. */

/** For how long a sentence stands before it is read aloud, in milliseconds: our own judgement. */
const stands = 1500;

/** Steady follows a sentence. */
export class Steady {
  /** The sentence that has stood; '' while none has. */
  says = $state('');
  private next = '';
  private timer: ReturnType<typeof setTimeout> | undefined;

  /** hears takes the sentence as it is now. */
  hears(sentence: string): void {
    if (sentence === this.next) return;
    this.next = sentence;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => (this.says = sentence), stands);
  }

  /** close ends it. */
  close(): void {
    clearTimeout(this.timer);
  }
}
