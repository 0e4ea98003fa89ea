/** The map of the season for its coordinator. The names are those of the Go types. */

/** SquaresPage is the map of the season for the coordinator. */
export interface SquaresPage {
  /** Side of a square in metres */
  side: number;
  squares: ShownSquare[];
  sites: ShownSite[];
  /** Grid lines with their figures */
  lines: GridLine[];
  /** Without counts records that have no place. */
  without: number;
  says: string;
}

/** ShownSquare is a cell of the map grid with what was found in it. */
export interface ShownSquare {
  name: string;
  /** Corners as longitude, latitude */
  ring: [number, number][];
  records: number;
  /** Different names at species rank */
  species: number;
  /** Days with a record */
  days: number;
  /** Field numbers, for the list beside the map */
  numbers: string[];
}

/** ShownSite is a site on the map. */
export interface ShownSite {
  code: string;
  name: string;
  lat: number;
  lon: number;
  /** metres */
  radius: number;
}

/** GridLine is a line of the map grid. */
export interface GridLine {
  label: string;
  /** A line of equal easting */
  east: boolean;
  /** Longitude, latitude */
  line: [number, number][];
}
