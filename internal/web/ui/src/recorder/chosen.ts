/** What can be told of a chosen file before it is read, in plain words. */
import { t } from '../words';

/** How many photographs a record holds at most: as many as a message from a phone tells of. */
export const mostPhotographs = 60;

/** A file as far as it matters here. */
export type Chosen = Pick<File, 'name' | 'size' | 'type'>;

/** refusedAtOnce says why a file is no photograph, '' when it may be one. The server has the last word. */
export function refusedAtOnce(file: Chosen): string {
  if (file.size === 0) return t('This file is empty: the camera had not finished with it. Take the photograph again.');
  if (file.type.startsWith('video/')) return t('This is a film. Take a photograph of each view instead; the film stays where it is on your phone.');
  if (file.type.startsWith('audio/') || file.type === 'application/pdf' || file.type.startsWith('text/')) return t('This is no photograph. Choose a picture that your camera took.');
  return '';
}

/** likeAScreenshot tells a picture of the screen by its name, which phones write in their owner's language, or by its form: PNG, which no camera writes. */
export function likeAScreenshot(file: Chosen): boolean {
  return file.type === 'image/png' || /screen[-_ ]?shot|bildschirmfoto|captura|capture d|schermafbeelding|zrzut/i.test(file.name);
}

/** screenshotSays is the remark on such a picture; it is taken all the same. */
export const screenshotSays = t('One of these looks like a picture of a screen. It is taken; if you still have the photograph itself, hand that in instead: it shows more, and tells when and where.');

/** tooManySays is said when more are chosen than a record holds. */
export function tooManySays(left: number): string {
  return t('A record holds at most {most} photographs, so {left, plural, one {one was not taken. Make another record for it.} other {# were not taken. Make another record for them.}}', { most: mostPhotographs, left });
}
