package outline

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"trug/science/place"
)

// mostDeep is how many elements may lie in one another; GPX itself needs five,
// extensions some more.
const mostDeep = 32

// gpx follows the elements of a GPX file (1.0 and 1.1 alike: namespaces do not
// count, and only tracks, routes and waypoints are looked at).
type gpx struct {
	file
	path []string
}

func readGPX(text []byte) (*file, error) {
	g := &gpx{file: file{gpx: true}}
	d := xml.NewDecoder(bytes.NewReader(text))
	// The text is valid UTF-8 whatever its declaration says, or was refused.
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	for {
		t, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			line, _ := d.InputPos()
			return nil, fmt.Errorf("the file breaks off or is damaged in line %d: copy or save it again", line)
		}
		if err := g.token(t); err != nil {
			return nil, err
		}
	}
	return &g.file, nil
}

func (g *gpx) token(t xml.Token) error {
	switch t := t.(type) {
	case xml.Directive:
		return errors.New("the file has a document type declaration (<!DOCTYPE), which GPX does not: save it again as GPX")
	case xml.StartElement:
		g.path = append(g.path, t.Name.Local)
		if len(g.path) > mostDeep {
			return errors.New("the file is nested far too deep to be GPX: save it again as GPX")
		}
		return g.start(t)
	case xml.EndElement:
		g.path = g.path[:len(g.path)-1]
	case xml.CharData:
		if n := len(g.path); n == 3 && g.path[2] == "name" && (g.path[1] == "trk" || g.path[1] == "rte") {
			last := &g.figures[len(g.figures)-1]
			last.name = clean(last.name + string(t[:min(len(t), 400)]))
		}
	}
	return nil
}

func (g *gpx) start(e xml.StartElement) error {
	switch strings.Join(g.path, "/") {
	case "gpx":
		if v := attribute(e, "version"); v != "1.0" && v != "1.1" {
			g.note("the file does not say that it is GPX 1.0 or 1.1, and was read as such")
		}
	case "gpx/wpt":
		g.others[points]++
	case "gpx/trk":
		return g.figure(figure{kind: lines})
	case "gpx/rte":
		return g.figure(figure{kind: lines, parts: make([][]place.Position, 1)})
	case "gpx/trk/trkseg":
		last := &g.figures[len(g.figures)-1]
		if n := len(last.parts); n == 0 || len(last.parts[n-1]) > 0 { // empty parts are used again
			last.parts = append(last.parts, nil)
		}
	case "gpx/trk/trkseg/trkpt", "gpx/rte/rtept":
		return g.point(e)
	default:
		if len(g.path) == 1 {
			if strings.EqualFold(e.Name.Local, "kml") {
				return errors.New("the file is KML: save it as GeoJSON or GPX")
			}
			return fmt.Errorf("the file is XML that begins with <%s>, not GPX: save it as GeoJSON or GPX", clean(e.Name.Local))
		}
	}
	return nil
}

// mostFigures bounds tracks and routes, empty ones included.
const mostFigures = 10_000

func (g *gpx) figure(f figure) error {
	if len(g.figures) >= mostFigures {
		return fmt.Errorf("the file holds more than %d tracks and routes: save the one needed to a file of its own", mostFigures)
	}
	g.figures = append(g.figures, f)
	return nil
}

func (g *gpx) point(e xml.StartElement) error {
	fig := &g.figures[len(g.figures)-1]
	part := &fig.parts[len(fig.parts)-1]
	lat, err := degrees(e, "lat")
	if err == nil {
		var lon place.Degrees
		if lon, err = degrees(e, "lon"); err == nil {
			p := place.Position{Lat: lat, Lon: lon}
			if err = inRange(p, "(in the attributes lat and lon)"); err == nil {
				*part = append(*part, p)
				return g.grow()
			}
		}
	}
	return fmt.Errorf("point %d of part %d of %s: %w", len(*part)+1, len(fig.parts), g.title(len(g.figures)-1), err)
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func degrees(e xml.StartElement, name string) (place.Degrees, error) {
	written := strings.TrimSpace(attribute(e, name))
	x, err := strconv.ParseFloat(written, 64)
	switch {
	case written == "":
		return 0, fmt.Errorf("it has no %s: correct or take out that point", name)
	case strings.Contains(written, ","):
		return 0, fmt.Errorf("%s is %q: write decimals with a point", name, clean(written))
	case err != nil:
		return 0, fmt.Errorf("%s is %q, which is not a number: correct or take out that point", name, clean(written))
	}
	return place.Degrees(x), nil
}
