/** bare takes the title out of a drawing: it is for the file alone, beside its words a drawing is decoration. */
export function bare(svg: string): string {
  return svg.replace(/<title>[^<]*<\/title>\s*/, '').trim();
}

/** nameOf is a drawing's name from its path: "view-top". */
export function nameOf(path: string): string {
  return path.replace(/^.*\/|\.svg$/g, '');
}
