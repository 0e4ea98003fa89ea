/** The camera seen live before a photograph is taken: the card in its picture, how the phone is held, and the shot. */
import type { ViewKind } from '../api/types';
import { Blocked, glance, type Glance } from './checks';
import { heldFor, upOf, type Held } from './level';

/** hasPreview says whether this browser may show the camera's picture: only pages that came over HTTPS may. */
export const hasPreview = (): boolean => typeof navigator !== 'undefined' && typeof navigator.mediaDevices?.getUserMedia === 'function';

/** Where the card is looked for: more pixels take longer and show little more. */
const glanceWidth = 1200;
/** Time between two looks, ms, so that the phone stays cool. */
const pause = 150;
/** Below so many pixels a photograph of the preview shows clearly less than the phone's own camera would. */
const fewPixels = 3_000_000;

interface Captures {
  takePhoto: () => Promise<Blob>;
}

/** Preview is one use of the camera; close it, or it stays on. */
export class Preview {
  state: 'asking' | 'on' | 'refused' | 'none' = $state('asking');
  /** The card as it was seen last; null while nobody has looked. */
  seen: Glance | null = $state.raw(null);
  /** Set where this browser can't look for the card by itself. */
  blocked = $state(false);
  held: Held | null = $state.raw(null);
  /** Set while a photograph is taken. */
  taking = $state(false);
  /** Set where what is taken here has few pixels. */
  coarse = $state(false);

  private stream: MediaStream | null = null;
  private closed = false;

  constructor(private readonly kind: ViewKind) {}

  /** begin asks for the camera that looks away from whoever holds it, and shows it. */
  async begin(video: HTMLVideoElement): Promise<void> {
    try {
      const stream = await navigator.mediaDevices.getUserMedia({ audio: false, video: { facingMode: { ideal: 'environment' }, width: { ideal: 4096 }, height: { ideal: 3072 } } });
      if (this.closed) return stop(stream);
      this.stream = stream;
      video.srcObject = stream;
      await video.play();
      this.coarse = !('ImageCapture' in globalThis) && video.videoWidth * video.videoHeight < fewPixels;
      this.state = 'on';
    } catch (thrown) {
      if (!this.closed) this.state = thrown instanceof DOMException && thrown.name === 'NotAllowedError' ? 'refused' : 'none';
      return;
    }
    void this.look(video);
  }

  /** sense begins to listen to how the phone is held. Some phones ask first, and only after a touch. */
  async sense(): Promise<void> {
    if (typeof DeviceOrientationEvent === 'undefined' || heldFor(this.kind, { x: 0, y: 0, z: 1 }) === null) return;
    const asks = DeviceOrientationEvent as unknown as { requestPermission?: () => Promise<string> };
    try {
      if (asks.requestPermission && (await asks.requestPermission()) !== 'granted') return;
    } catch {
      return; // then there is no level
    }
    if (!this.closed) globalThis.addEventListener('deviceorientation', this.turned);
  }

  private readonly turned = (e: DeviceOrientationEvent): void => {
    if (e.beta === null || e.gamma === null) return; // a computer that feels nothing
    this.held = heldFor(this.kind, upOf(e.beta, e.gamma, screen.orientation?.angle ?? 0));
  };

  private async look(video: HTMLVideoElement): Promise<void> {
    while (!this.closed && !this.blocked) {
      if (!this.taking && video.videoWidth > 0) {
        const scale = Math.min(1, glanceWidth / Math.max(video.videoWidth, video.videoHeight));
        try {
          const frame = await createImageBitmap(video, { resizeWidth: Math.round(video.videoWidth * scale), resizeHeight: Math.round(video.videoHeight * scale) });
          const seen = await glance(frame);
          if (!this.closed) this.seen = seen;
        } catch (thrown) {
          if (thrown instanceof Blocked) this.blocked = true;
        }
      }
      await new Promise((later) => setTimeout(later, pause));
    }
  }

  /** shoot takes the photograph, as large as the browser can. */
  async shoot(video: HTMLVideoElement): Promise<File | null> {
    const track = this.stream?.getVideoTracks()[0];
    if (!track || this.taking) return null;
    this.taking = true;
    try {
      const blob = (await photographed(track)) ?? (await frameOf(video));
      if (this.closed) return null; // whoever closed it wants none
      return blob && new File([blob], `${this.kind.replaceAll(' ', '-')}.${blob.type === 'image/png' ? 'png' : 'jpg'}`, { type: blob.type, lastModified: Date.now() });
    } finally {
      this.taking = false;
    }
  }

  /** close turns the camera off. */
  close(): void {
    this.closed = true;
    globalThis.removeEventListener('deviceorientation', this.turned);
    if (this.stream) stop(this.stream);
    this.stream = null;
  }
}

function stop(stream: MediaStream): void {
  for (const track of stream.getTracks()) track.stop();
}

/** photographed is the camera's own photograph, where the browser takes one; null where it doesn't. */
async function photographed(track: MediaStreamTrack): Promise<Blob | null> {
  const Capture = (globalThis as { ImageCapture?: new (track: MediaStreamTrack) => Captures }).ImageCapture;
  if (!Capture) return null;
  try {
    const blob = await new Capture(track).takePhoto();
    return blob.size > 0 && (blob.type === 'image/jpeg' || blob.type === 'image/png') ? blob : null;
  } catch {
    return null; // some cameras only show
  }
}

function frameOf(video: HTMLVideoElement): Promise<Blob | null> {
  const canvas = document.createElement('canvas');
  canvas.width = video.videoWidth;
  canvas.height = video.videoHeight;
  canvas.getContext('2d')?.drawImage(video, 0, 0);
  return new Promise((done) => canvas.toBlob(done, 'image/jpeg', 0.95));
}
