/** The lists of the Season desk, a leaf at a time, and what forms are offered. Written after the Go structs of the package app. */
import type { LonLat, Permission } from './desk';
import type { CalendarDate, ID } from './types';

/** DeskPage is a leaf of a list. */
export interface DeskPage<L> {
  lines: L[];
  /** How many answer to the query */
  total: number;
  /** How many there are without a query */
  all: number;
  /** How many of all have something to look at */
  odd: number;
  /** A mark that is still free */
  next: string;
}

/** SiteLine is a site in the list. */
export interface SiteLine {
  id: ID;
  code: string;
  name: string;
  habitat: string[];
  /** Without its words */
  permission?: Permission;
  /** It has an outline */
  drawn: boolean;
  /** Anybody may go; else it is private ground. */
  open?: boolean;
  hectares?: number;
  /** metres */
  radius?: number;
  forays: number;
  records: number;
  notes: string[];
}

/** ForayLine is a foray or visit in the list. */
export interface ForayLine {
  id: ID;
  code: string;
  name: string;
  siteName: string;
  date: CalendarDate;
  start?: string;
  end?: string;
  endDate?: CalendarDate;
  visit?: boolean;
  /** Who leads it, or made the visit */
  who?: string;
  /** The viewer leads it or made it */
  yours: boolean;
  /** How many came */
  people?: number;
  signedUp: number;
  records: number;
  notes: string[];
}

/** Offer is something to be chosen in a form. */
export interface Offer {
  id: ID;
  code?: string;
  name: string;
  /** Of a foray */
  date?: CalendarDate;
}

/** Offered are the first offers that answer to what was typed. */
export interface Offered {
  offers: Offer[];
  /** How many answer */
  total: number;
}

/** SiteEdge is a site as the map of all sites draws it. */
export interface SiteEdge {
  id: ID;
  code: string;
  name: string;
  lat: number;
  lon: number;
  /** metres */
  radius?: number;
  /** Rings, in rough; empty where a circle stands for the site */
  outline: LonLat[][];
  /** There is something to look at */
  odd: boolean;
}
