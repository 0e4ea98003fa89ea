/** dial is the address that calls a number: spaces and dots in it are for people. */
export const dial = (number: string): string => `tel:${number.replace(/[^\d+*#]/g, '')}`;
