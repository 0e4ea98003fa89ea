package outline

import (
	"errors"
	"fmt"
	"strings"

	"trug/science/place"
)

// title is what a sentence calls figure i of its kind.
func (f *file) title(i int) string {
	if name := f.figures[i].name; name != "" {
		return fmt.Sprintf("%q", name)
	}
	if f.figures[i].kind == surface {
		return fmt.Sprintf("outline %d", i+1)
	}
	return fmt.Sprintf("line %d", i+1)
}

// titles lists the first few figures.
func (f *file) titles() string {
	var list []string
	for i := range f.figures {
		if i == 5 {
			list = append(list, fmt.Sprintf("%d more", len(f.figures)-i))
			break
		}
		list = append(list, f.title(i))
	}
	return strings.Join(list, ", ")
}

// some writes a count with its noun.
func some(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// passedOver names what else the file holds, "" if nothing.
func (f *file) passedOver() string {
	nouns := [3]string{"polygon", "line", "point"}
	if f.gpx {
		nouns = [3]string{"polygon", "line", "waypoint"}
	}
	var list []string
	for k, n := range f.others {
		if n > 0 {
			list = append(list, some(n, nouns[k]))
		}
	}
	return strings.Join(list, " and ")
}

func (f *file) outline() ([][]place.Position, []string, error) {
	if f.gpx {
		return f.closedTrack()
	}
	switch left := f.passedOver(); {
	case len(f.figures) == 0 && left != "":
		return nil, nil, fmt.Errorf("the file holds %s but no polygon: draw the outline as a polygon and save it again", left)
	case len(f.figures) == 0:
		return nil, nil, errors.New("the file holds no polygon: draw the outline and save it again")
	case len(f.figures) > 1:
		return nil, nil, fmt.Errorf("the file holds %d outlines (%s): save the one of this site to a file of its own; if all belong to the site, as one MultiPolygon", len(f.figures), f.titles())
	case left != "":
		f.note("the file also holds %s, left out here", left)
	}
	var rings [][]place.Position
	for i, r := range f.figures[0].parts {
		ring, closed := opened(r)
		if !closed {
			f.note("ring %d did not come back to its first point and was closed", i+1)
		}
		if len(ring) < 3 {
			return nil, nil, fmt.Errorf("ring %d has %s: at least three are needed to hold land", i+1, some(len(ring), "point"))
		}
		rings = append(rings, ring)
	}
	if len(rings) > place.MostRings {
		return nil, nil, fmt.Errorf("the outline has %d rings, %d are the most: split it into several sites", len(rings), place.MostRings)
	}
	return rings, f.notes, nil
}

// opened takes off the closing position.
func opened(ring []place.Position) (open []place.Position, closed bool) {
	if n := len(ring); n > 1 && ring[0] == ring[n-1] {
		return ring[:n-1], true
	}
	return ring, false
}

// closedTrack takes the first track or route that comes back to its start.
func (f *file) closedTrack() ([][]place.Position, []string, error) {
	if err := f.needLine("an outline"); err != nil {
		return nil, nil, err
	}
	var nearest place.Metres
	best := -1
	for i, fig := range f.figures {
		if rings := closedParts(fig.parts); rings != nil {
			f.taken(i, "the first that comes back to its start")
			f.note("the track of %s has %d closed parts: each is a ring, and one within another is a hole", f.title(i), len(rings))
			return rings, f.notes, nil
		}
		line := joined(fig.parts)
		ring, closed := opened(line)
		gap := place.Distance(line[0], line[len(line)-1])
		if len(ring) >= 3 && (closed || gap <= reach(place.LengthOf(line))) {
			if len(fig.parts) > 1 {
				f.note("%s has %d parts, joined in their order", f.title(i), len(fig.parts))
			}
			if !closed {
				f.note("the ends lie %.0f m apart and were joined by a straight line", float64(gap))
			}
			f.taken(i, "the first that comes back to its start")
			return [][]place.Position{ring}, f.notes, nil
		}
		if len(ring) >= 3 && (best < 0 || gap < nearest) {
			best, nearest = i, gap
		}
	}
	if best < 0 {
		return nil, nil, errors.New("no track or route in the file has three points: walk or draw the line round the site and save it again")
	}
	return nil, nil, fmt.Errorf("no track or route in the file comes back to its start: the ends of %s lie %.0f m apart. Walk or draw it all the way round, or draw the outline as a polygon and save it as GeoJSON", f.title(best), float64(nearest))
}

// reach is the largest gap that is closed on a track of the given length.
func reach(length place.Metres) place.Metres {
	return min(200, length/4, max(20, length/20))
}

// closedParts gives the rings of a track of several parts each of which is
// closed for itself, nil of any other.
func closedParts(parts [][]place.Position) [][]place.Position {
	var rings [][]place.Position
	for _, p := range parts {
		ring, closed := opened(p)
		if !closed || len(ring) < 3 {
			return nil
		}
		rings = append(rings, ring)
	}
	if len(rings) < 2 || len(rings) > place.MostRings {
		return nil
	}
	return rings
}

func joined(parts [][]place.Position) []place.Position {
	var line []place.Position
	for _, p := range parts {
		if len(line) > 0 && len(p) > 0 && line[len(line)-1] == p[0] {
			p = p[1:]
		}
		line = append(line, p...)
	}
	return line
}

// needLine refuses GPX without tracks and routes, and drops empty ones.
func (f *file) needLine(what string) error {
	full := f.figures[:0]
	for _, fig := range f.figures {
		if len(joined(fig.parts)) > 0 {
			full = append(full, fig)
		}
	}
	empty := len(f.figures) - len(full)
	f.figures = full
	switch {
	case len(full) > 0:
		return nil
	case f.others[points] > 0:
		return fmt.Errorf("the file holds %s but no track or route: %s is a line, so record a track or draw a route and save it again", some(f.others[points], "waypoint"), what)
	case empty > 0:
		return errors.New("the tracks and routes in the file have no points: record or draw the line again and save it")
	}
	return errors.New("the file holds no track and no route: record or draw one and save it again")
}

// taken says which figure was taken when there was a choice.
func (f *file) taken(i int, why string) {
	if len(f.figures) > 1 {
		f.note("the file holds %d tracks and routes: %s was taken, %s", len(f.figures), f.title(i), why)
	}
	if left := f.passedOver(); left != "" {
		f.note("the file also holds %s, left out here", left)
	}
}

func (f *file) route() ([]place.Position, []string, error) {
	if f.gpx {
		if err := f.needLine("a route"); err != nil {
			return nil, nil, err
		}
		for i, fig := range f.figures {
			if len(joined(fig.parts)) >= 2 {
				f.taken(i, "the first with two points or more")
				return f.line(i)
			}
		}
		return nil, nil, errors.New("no track or route in the file has two points: record or draw the route and save it again")
	}
	switch left := f.passedOver(); {
	case len(f.figures) == 0 && f.others[surface] > 0:
		return nil, nil, fmt.Errorf("the file holds %s but no line: a polygon is an outline; draw the route as a line and save it again", left)
	case len(f.figures) == 0 && left != "":
		return nil, nil, fmt.Errorf("the file holds %s but no line: draw the route as a line and save it again", left)
	case len(f.figures) == 0:
		return nil, nil, errors.New("the file holds no line: draw the route and save it again")
	case len(f.figures) > 1:
		return nil, nil, fmt.Errorf("the file holds %d lines (%s): save the route of this foray to a file of its own", len(f.figures), f.titles())
	case left != "":
		f.note("the file also holds %s, left out here", left)
	}
	return f.line(0)
}

// line gives figure i as one line.
func (f *file) line(i int) ([]place.Position, []string, error) {
	if n := len(f.figures[i].parts); n > 1 {
		f.note("%s has %d parts, joined in their order", f.title(i), n)
	}
	line := joined(f.figures[i].parts)
	if len(line) < 2 {
		return nil, nil, fmt.Errorf("the route has %s: at least two are needed", some(len(line), "point"))
	}
	return line, f.notes, nil
}
