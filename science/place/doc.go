// Package place computes with places on the ground: it reads and writes
// coordinates, carries them to the squares of the map grid and back, says how
// uncertain they are, and coarsens them so that a sensitive locality cannot be
// found again.
//
// Everything is on the WGS84 ellipsoid, in decimal degrees (north and east
// positive) and in metres. The package decides nothing about who may see a
// place; that is settled where records are shown.
package place
