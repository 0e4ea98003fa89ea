/** What was just kept, told on the page that one is taken to. */
class Said {
  private words = '';

  tell(words: string) {
    this.words = words;
  }

  /** take returns it once. */
  take(): string {
    const words = this.words;
    this.words = '';
    return words;
  }
}

export const said = new Said();
