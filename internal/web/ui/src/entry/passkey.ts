/** Passkeys: what the server writes as JSON, for the browser and back (W3C Web Authentication, section 5.1.8). */
import { Refused, post } from '../api/call';
import type { PasskeyAnswer, PasskeyAsked } from '../api/entry';
import { t } from '../words';

/** havePasskeys tells whether this page may make passkeys: it is secure, and the browser knows how. */
export function havePasskeys(): boolean {
  return window.isSecureContext && 'PublicKeyCredential' in window && 'credentials' in navigator;
}

/** bytesOf reads base64url. */
export function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  const raw = atob(text.replace(/-/g, '+').replace(/_/g, '/'));
  return Uint8Array.from(raw, (c) => c.charCodeAt(0));
}

/** textOf writes base64url without padding. */
export function textOf(bytes: ArrayBuffer): string {
  return btoa(String.fromCharCode(...new Uint8Array(bytes))).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');
}

type Descriptor = { id: string; type: 'public-key'; transports?: AuthenticatorTransport[] };
const described = (list: Descriptor[] | undefined) => list?.map((d) => ({ ...d, id: bytesOf(d.id) }));

/** makePasskey asks the server for a challenge and the device for a key. */
export async function makePasskey(path: string, body: unknown): Promise<PasskeyAnswer> {
  const asked = await post<PasskeyAsked>(path, body, { tries: 1 });
  const o = asked.options as { challenge: string; user: { id: string }; excludeCredentials?: Descriptor[] };
  const options = { ...o, challenge: bytesOf(o.challenge), user: { ...o.user, id: bytesOf(o.user.id) }, excludeCredentials: described(o.excludeCredentials) };
  const made = (await answered(() => navigator.credentials.create({ publicKey: options as unknown as PublicKeyCredentialCreationOptions }))) as PublicKeyCredential;
  const response = made.response as AuthenticatorAttestationResponse;
  return {
    ceremony: asked.ceremony,
    answer: {
      id: made.id, rawId: textOf(made.rawId), type: made.type, clientExtensionResults: {},
      response: { clientDataJSON: textOf(response.clientDataJSON), attestationObject: textOf(response.attestationObject), transports: response.getTransports?.() ?? [] },
    },
  };
}

/** usePasskey asks the device for a key that it has. */
export async function usePasskey(path: string): Promise<PasskeyAnswer> {
  const asked = await post<PasskeyAsked>(path, {}, { tries: 1 });
  const o = asked.options as { challenge: string; allowCredentials?: Descriptor[] };
  const options = { ...o, challenge: bytesOf(o.challenge), allowCredentials: described(o.allowCredentials) };
  const got = (await answered(() => navigator.credentials.get({ publicKey: options as unknown as PublicKeyCredentialRequestOptions }))) as PublicKeyCredential;
  const response = got.response as AuthenticatorAssertionResponse;
  return {
    ceremony: asked.ceremony,
    answer: {
      id: got.id, rawId: textOf(got.rawId), type: got.type, clientExtensionResults: {},
      response: {
        clientDataJSON: textOf(response.clientDataJSON), authenticatorData: textOf(response.authenticatorData), signature: textOf(response.signature),
        userHandle: response.userHandle ? textOf(response.userHandle) : undefined,
      },
    },
  };
}

async function answered(ask: () => Promise<Credential | null>): Promise<Credential> {
  try {
    const credential = await ask();
    if (credential) return credential;
  } catch (thrown) {
    if (thrown instanceof DOMException && thrown.name === 'InvalidStateError') throw new Refused(409, t('This device has a passkey for here already.'));
  }
  throw new Refused(400, t('The device gave no passkey. Try again, or use a password.'));
}
