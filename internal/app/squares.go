package app

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"trug"
	"trug/science/place"
)

// Squares returns the season's records as squares of the UTM grid, for the
// coordinator, who sees every place as it is.
func (a *App) Squares(ctx context.Context, v Viewer, side int) (SquaresPage, error) {
	l, err := a.open(ctx, v, OpenSquares)
	if err != nil {
		return SquaresPage{}, err
	}
	if side == 0 {
		side = l.season.GridSide()
	}
	if side != 100 && side != 1000 && side != 10000 {
		return SquaresPage{}, trug.Errorf(trug.Invalid, "side", "squares have sides of 100, 1000 or 10000 m, not %d", side)
	}
	page := SquaresPage{Side: side, Squares: []ShownSquare{}, Sites: []ShownSite{}, Lines: []GridLine{}}
	cells := map[place.Square][]*find{}
	for _, f := range l.inOrder {
		w := l.whereabouts(v, f)
		if w.place == nil {
			page.Without++
			continue
		}
		sq, err := place.SquareOf(w.place.Position, place.Metres(side))
		if err != nil {
			page.Without++
			continue
		}
		cells[sq] = append(cells[sq], f)
	}
	var all []*find
	for sq, finds := range cells {
		all = append(all, finds...)
		page.Squares = append(page.Squares, l.shownSquare(sq, finds))
	}
	slices.SortFunc(page.Squares, func(x, y ShownSquare) int { return strings.Compare(x.Name, y.Name) })
	for _, s := range l.sites {
		page.Sites = append(page.Sites, ShownSite{Code: s.Code, Name: s.Name, Lat: float64(s.Centre.Lat), Lon: float64(s.Centre.Lon), Radius: float64(s.Radius)})
	}
	slices.SortFunc(page.Sites, func(x, y ShownSite) int { return strings.Compare(x.Code, y.Code) })
	if err := a.note(ctx, l, v, bySquares, all...); err != nil {
		return SquaresPage{}, err
	}
	if err := a.noteSites(ctx, l, v, bySquares, slices.Collect(maps.Keys(l.sites))...); err != nil {
		return SquaresPage{}, err
	}
	page.Lines = l.gridLines(max(side, 1000))
	page.Says = fmt.Sprintf("%s with records, of %g km a side.", count(len(page.Squares), "square"), float64(side)/1000)
	if side == 100 {
		page.Says = fmt.Sprintf("%s with records, of 100 m a side.", count(len(page.Squares), "square"))
	}
	return page, nil
}

func (l *ledger) shownSquare(sq place.Square, finds []*find) ShownSquare {
	s := ShownSquare{Name: sq.Name(), Records: len(finds), Numbers: []string{}, Ring: ring(sq.Outline(2))}
	species, days := map[string]bool{}, map[trug.Date]bool{}
	for _, f := range finds {
		days[f.Found.Date] = true
		if t := f.naming.Taxon; t.Rank == trug.Species {
			species[t.Name] = true
		}
		s.Numbers = append(s.Numbers, f.Number)
	}
	s.Species, s.Days = len(species), len(days)
	return s
}

// gridLines returns the lines of the grid over the season's area, every step
// metres, in the zone of its middle.
func (l *ledger) gridLines(step int) []GridLine {
	lines := []GridLine{}
	b := l.box()
	middle := place.Position{Lat: place.Degrees((b.North + b.South) / 2), Lon: place.Degrees((b.East + b.West) / 2)}
	u, _, err := place.ToUTM(middle)
	if err != nil {
		return lines
	}
	minE, maxE, minN, maxN := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, lat := range []float64{b.South, b.North} {
		for _, lon := range []float64{b.West, b.East} {
			c, _, err := place.ToUTM(place.Position{Lat: place.Degrees(lat), Lon: place.Degrees(lon)})
			if err != nil || c.Zone != u.Zone {
				return lines // an area over two zones is drawn without lines
			}
			minE, maxE = min(minE, float64(c.Easting)), max(maxE, float64(c.Easting))
			minN, maxN = min(minN, float64(c.Northing)), max(maxN, float64(c.Northing))
		}
	}
	for ((maxE-minE)+(maxN-minN))/float64(step) > 120 {
		step *= 10 // a wide area would be black with lines
	}
	s := float64(step)
	for e := math.Ceil(minE/s) * s; e <= maxE; e += s {
		lines = append(lines, GridLine{Label: fmt.Sprintf("%.0f", e/1000), East: true, Line: gridLine(u, e, minN, e, maxN)})
	}
	for n := math.Ceil(minN/s) * s; n <= maxN; n += s {
		lines = append(lines, GridLine{Label: fmt.Sprintf("%.0f", n/1000), Line: gridLine(u, minE, n, maxE, n)})
	}
	return lines
}

// gridLine cuts a line of the grid into parts that are straight enough.
func gridLine(zone place.UTM, e0, n0, e1, n1 float64) [][2]float64 {
	var points []place.Position
	for i := range 9 {
		t := float64(i) / 8
		u := place.UTM{Zone: zone.Zone, North: zone.North, Easting: place.Metres(e0 + t*(e1-e0)), Northing: place.Metres(n0 + t*(n1-n0))}
		if p, err := u.Position(); err == nil {
			points = append(points, p)
		}
	}
	return ring(points)
}

// ring writes positions as GeoJSON does: longitude first.
func ring(points []place.Position) [][2]float64 {
	out := make([][2]float64, len(points))
	for i, p := range points {
		out[i] = [2]float64{float64(p.Lon), float64(p.Lat)}
	}
	return out
}
