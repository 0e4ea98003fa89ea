package app

import (
	"context"
	"slices"

	"trug"
	"trug/science/place"
	"trug/science/place/outline"
)

// ReadShape is an outline or a route read from a file.
type ReadShape struct {
	// Rings are those of an outline, Line a route; points are longitude, latitude.
	Rings [][][2]float64 `json:"rings"`
	Line  [][2]float64   `json:"line"`
	// Notes are sentences on what was settled by rule.
	Notes []string `json:"notes"`
	// Faults are what keeps the outline from being used.
	Faults   []ShapeFault `json:"faults"`
	Hectares float64      `json:"hectares,omitempty"`
	Metres   float64      `json:"metres,omitempty" doc:"Length of a route"`
}

// ShapeFault is a fault of an outline, with the spot where it is.
type ShapeFault struct {
	Says string  `json:"says"`
	Lat  float64 `json:"lat,omitempty"`
	Lon  float64 `json:"lon,omitempty"`
}

// MaxShapeBytes bounds a file with an outline or a route.
const MaxShapeBytes = outline.MostBytes

// drawn is how far a line may be from what was walked when it is drawn: finer
// than any map of a site shows, and few enough points to move about.
const drawn = place.Metres(1)

// ReadOutline reads the outline of a site from GeoJSON or GPX and says what is
// wrong with it, where, and how large it is. It keeps nothing.
func (a *App) ReadOutline(ctx context.Context, v Viewer, data []byte) (ReadShape, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ReadShape{}, err
	}
	rings, notes, err := outline.Read(data)
	if err != nil {
		return ReadShape{}, trug.Errorf(trug.Invalid, "outline", "%v", err)
	}
	return a.outlined(ctx, l, rings, notes)
}

// CheckOutline says the same of an outline that was drawn.
func (a *App) CheckOutline(ctx context.Context, v Viewer, rings [][][2]float64) (ReadShape, error) {
	l, err := a.open(ctx, v, KeepDesk)
	if err != nil {
		return ReadShape{}, err
	}
	return a.outlined(ctx, l, positions(rings), nil)
}

// positions reads rings of longitude and latitude.
func positions(rings [][][2]float64) [][]place.Position {
	out := make([][]place.Position, len(rings))
	for i, r := range rings {
		for _, p := range r {
			out[i] = append(out[i], place.Position{Lat: place.Degrees(p[1]), Lon: place.Degrees(p[0])})
		}
	}
	return out
}

func (a *App) outlined(ctx context.Context, l *ledger, rings [][]place.Position, notes []string) (ReadShape, error) {
	shape := ReadShape{Rings: [][][2]float64{}, Line: [][2]float64{}, Notes: notNil(notes), Faults: []ShapeFault{}}
	for _, f := range place.CheckOutline(rings) {
		if f.Note {
			shape.Notes = append(shape.Notes, f.Text)
			continue
		}
		fault := ShapeFault{Says: f.Text}
		if f.At != nil {
			fault.Lat, fault.Lon = float64(f.At.Lat), float64(f.At.Lon)
		}
		shape.Faults = append(shape.Faults, fault)
	}
	if !hasSurface(rings) { // the faults say so
		for _, r := range rings {
			shape.Rings = append(shape.Rings, ring(r))
		}
		return shape, nil
	}
	fault, note, err := a.atSea(ctx, l, rings)
	switch {
	case err != nil:
		return ReadShape{}, err
	case fault != "":
		shape.Faults = append(shape.Faults, ShapeFault{Says: fault})
	case note != "":
		shape.Notes = append(shape.Notes, note)
	}
	rings = place.SimplifyRings(rings, drawn)
	for _, r := range rings {
		shape.Rings = append(shape.Rings, ring(r))
	}
	shape.Hectares = float64(place.SurfaceOf(rings) / place.Hectare)
	if len(rings) > 0 && len(rings[0]) > 0 {
		if km := l.outsideArea(rings[0][0]); km > 0 {
			shape.Notes = append(shape.Notes, "It lies "+distanceWords(km)+" outside the season's area: is it the right file?")
		}
	}
	return shape, nil
}

// hasSurface reports whether all rings lie on the globe and go round something.
func hasSurface(rings [][]place.Position) bool {
	return !slices.ContainsFunc(rings, func(r []place.Position) bool {
		return len(r) < 3 || slices.ContainsFunc(r, func(p place.Position) bool { return p.Valid() != nil })
	})
}

// ReadRoute reads the route of a foray from GeoJSON or GPX. It keeps nothing.
func (a *App) ReadRoute(ctx context.Context, v Viewer, data []byte) (ReadShape, error) {
	if _, err := a.open(ctx, v, KeepForay); err != nil {
		return ReadShape{}, err
	}
	line, notes, err := outline.ReadRoute(data)
	if err != nil {
		return ReadShape{}, trug.Errorf(trug.Invalid, "route", "%v", err)
	}
	line = place.SimplifyLine(line, drawn)
	return ReadShape{Rings: [][][2]float64{}, Line: ring(line), Notes: notNil(notes), Faults: []ShapeFault{}, Metres: float64(place.LengthOf(line))}, nil
}
