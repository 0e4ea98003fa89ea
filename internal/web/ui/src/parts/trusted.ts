/**
 * The one place where text of ours becomes markup, and the address of a script one that may run. The server's content policy
 * lets nothing else in: a browser that knows trusted types refuses plain text there.
 */
interface Policy {
  createHTML: (text: string) => unknown;
  createScriptURL: (address: string) => unknown;
}
interface Factory {
  createPolicy: (name: string, rules: { createHTML: (text: string) => string; createScriptURL: (address: string) => string }) => Policy;
}

/** drawn returns a line drawing as it is; anything else that could act is refused. */
export function drawn(svg: string): string {
  if (!/^\s*<svg[\s>]/.test(svg) || /<script|<foreignObject|\son\w+\s*=|href\s*=|javascript:/i.test(svg)) throw new TypeError('this is no line drawing');
  return svg;
}

/** ours returns the address of a script that was built with this app, the service worker among them; any other is refused. */
export function ours(address: string): string {
  if (address !== '/sw.js' && !/^\/assets\/[\w.-]+\.js$/.test(address)) throw new TypeError('this is no script of ours');
  return address;
}

const policy = (globalThis as { trustedTypes?: Factory }).trustedTypes?.createPolicy('trug', { createHTML: drawn, createScriptURL: ours });

/** markup makes markup of a line drawing; of nothing, nothing. */
export function markup(svg: string): string {
  if (svg === '') return '';
  return (policy ? policy.createHTML(svg) : drawn(svg)) as string;
}

/** script is the address of a script of ours, as a worker or the service worker takes it. */
export function script(address: string): unknown {
  return policy ? policy.createScriptURL(address) : ours(address);
}
