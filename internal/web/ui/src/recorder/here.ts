/** Where this device is, as a record keeps it. */
import type { EditablePlace } from '../api/types';

/** canTell says whether this device may be asked where it is at all. */
export const canTell = (): boolean => typeof navigator !== 'undefined' && 'geolocation' in navigator;

/** allowed says whether it may be asked without a question of the browser's to its holder: 'granted', 'prompt' or 'denied'. */
export async function allowed(): Promise<PermissionState> {
  if (!canTell()) return 'denied';
  try {
    return (await navigator.permissions.query({ name: 'geolocation' })).state;
  } catch {
    return 'prompt'; // a browser that can't say asks
  }
}

/** Refused says that whoever holds the device doesn't let it tell; any other failure is the device's. */
export class Refused extends Error {}

/** whereNow asks the device, for at most twenty seconds. Fails with Refused or another error. */
export function whereNow(): Promise<EditablePlace> {
  return new Promise((done, failed) => {
    navigator.geolocation.getCurrentPosition(
      (p) => done(placeOf(p.coords)),
      (e) => failed(e.code === e.PERMISSION_DENIED ? new Refused(e.message) : new Error(e.message)),
      { enableHighAccuracy: true, timeout: 20000, maximumAge: 15000 },
    );
  });
}

/** placeOf is a place with its uncertainty in metres. */
export function placeOf(c: Pick<GeolocationCoordinates, 'latitude' | 'longitude' | 'accuracy'>): EditablePlace {
  // Devices give the radius that holds the spot in about two of three cases; twice that holds it nearly always.
  return { lat: c.latitude, lon: c.longitude, uncertainty: Math.max(10, Math.ceil(2 * c.accuracy)), source: 'phone' };
}

/** A photograph that is newer than this was taken where its finder stands, ms. */
const fresh = 120_000;

/** justTaken says whether a chosen file was taken just now, and not chosen from older ones. */
export const justTaken = (file: Pick<File, 'lastModified'>, now = Date.now()): boolean => file.lastModified <= now + 5000 && now - file.lastModified < fresh;
