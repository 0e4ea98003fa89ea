package app

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"trug"
	"trug/science/place"
)

// coastSlack is how far the coast of a season's ground may be from the true
// one: a map is drawn more coarsely than somebody walks, and the tide moves it.
const coastSlack = place.Metres(100)

// What counts as wholly and as partly in the sea; the share is right to a hundredth.
const (
	whollySea = 0.99
	partlySea = 0.02
)

// sea returns the rings of the sea on the season's ground, and what it is
// called; none where the season has no ground, or one without a sea.
func (a *App) sea(ctx context.Context, l *ledger) ([][]place.Position, string, error) {
	if l.season.Ground == "" {
		return nil, "", nil
	}
	f, err := a.Blobs.Open(ctx, l.season.Ground)
	if err != nil {
		return nil, "", fmt.Errorf("open the ground: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		return nil, "", fmt.Errorf("read the ground: %w", err)
	}
	return seaOf(data)
}

// seaOf reads the polygons of kind "sea" from the GeoJSON of a ground.
func seaOf(data []byte) (rings [][]place.Position, name string, err error) {
	var ground struct {
		Features []struct {
			Properties struct{ Kind, Name string }
			Geometry   struct {
				Type        string
				Coordinates json.RawMessage
			}
		}
	}
	if err := json.Unmarshal(data, &ground); err != nil {
		return nil, "", fmt.Errorf("read the ground as GeoJSON: %w", err)
	}
	for _, f := range ground.Features {
		if f.Properties.Kind != "sea" {
			continue
		}
		var polygons [][][][2]float64
		switch f.Geometry.Type {
		case "Polygon":
			polygons = make([][][][2]float64, 1)
			err = json.Unmarshal(f.Geometry.Coordinates, &polygons[0])
		case "MultiPolygon":
			err = json.Unmarshal(f.Geometry.Coordinates, &polygons)
		}
		if err != nil {
			return nil, "", fmt.Errorf("read the sea of the ground: %w", err)
		}
		for _, p := range polygons {
			rings = append(rings, positions(p)...)
		}
		name = f.Properties.Name
	}
	return rings, name, nil
}

// atSea says what of an outline lies in the sea by the season's ground: fault
// when all of it does, note when some of it does, or when there is no ground
// to tell by.
func (a *App) atSea(ctx context.Context, l *ledger, rings [][]place.Position) (fault, note string, err error) {
	if l.season.Ground == "" {
		return "", "This season has no ground map: nobody has checked whether the outline lies in the sea.", nil
	}
	sea, name, err := a.sea(ctx, l)
	if err != nil || len(sea) == 0 {
		return "", "", err
	}
	if name == "" {
		name = "the sea"
	} else {
		name = "the sea (" + name + ")"
	}
	switch share := place.ShareWithin(rings, sea, coastSlack); {
	case share >= whollySea:
		return fmt.Sprintf("the outline lies in %s: look whether latitude and longitude were exchanged or a sign left out, or draw it again", name), "", nil
	case share >= partlySea:
		return "", fmt.Sprintf("About %.0f %% of it lies in %s, more than %.0f m from the coast as the map has it. It can be used as it is: look whether that is meant.",
			100*share, name, float64(coastSlack)), nil
	}
	return "", "", nil
}

// siteAtSea says the same of a site: of its outline, or of the circle that
// stands for it.
func (a *App) siteAtSea(ctx context.Context, l *ledger, s trug.Site) (fault, note string, err error) {
	rings := s.Outline
	if len(rings) == 0 {
		rings = [][]place.Position{circle(s.Centre, s.Radius)}
	}
	return a.atSea(ctx, l, rings)
}

// circle returns a polygon of 48 corners round a spot, good to a hundredth of
// its radius up to some ten kilometres.
func circle(at place.Position, radius place.Metres) []place.Position {
	const degree = 111_195 // metres along a meridian of the sphere
	out := make([]place.Position, 48)
	for i := range out {
		sin, cos := math.Sincos(float64(i) / 48 * 2 * math.Pi)
		out[i] = place.Position{Lat: at.Lat + place.Degrees(float64(radius)*cos/degree),
			Lon: at.Lon + place.Degrees(float64(radius)*sin/degree/math.Cos(float64(at.Lat)*math.Pi/180))}
	}
	return out
}
