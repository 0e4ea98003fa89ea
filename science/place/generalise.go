package place

import (
	"fmt"
	"math"
)

// Category says how coarsely the place of a sensitive find is told, after
// Chapman 2020, Current Best Practices for Generalizing Sensitive Species
// Occurrence Data, https://doi.org/10.15468/doc-5jp4-5g10, tables 6 and 7.
type Category int

// The categories, from the coarsest to the finest.
const (
	Extreme Category = 1 + iota // 1 degree, where the place is told at all
	High                        // 0.1 degree
	Medium                      // 0.01 degree
	Low                         // 0.001 degree
)

// CellSize gives the side of a category's cell: 1, 0.1, 0.01 or 0.001 degrees.
func (c Category) CellSize() (Degrees, error) {
	switch c {
	case Extreme:
		return 1, nil
	case High:
		return 0.1, nil
	case Medium:
		return 0.01, nil
	case Low:
		return 0.001, nil
	}
	return 0, fmt.Errorf("sensitivity category %d does not exist: choose 1 (1 degree) to 4 (0.001 degree)", int(c))
}

// Cell is a cell of the grid of latitude and longitude. Everything within it
// becomes the same place once coarsened.
type Cell struct {
	row, column int // counted from 0° N 0° E
	perDegree   int
}

// GridCell gives the cell of the grid with the given step that holds a position.
// The step must divide a degree evenly: 1, 0.5, 0.1, 0.01, 0.001 and so on. A
// cell holds its southern and western edge. Positions within a billionth of a
// step below an edge count as on it, since 0.29 × 100 is 28.999999999999996.
func GridCell(p Position, step Degrees) (Cell, error) {
	if err := p.Valid(); err != nil {
		return Cell{}, err
	}
	per := math.Round(1 / float64(step))
	if !(step > 0) || per < 1 || per > 1e5 || math.Abs(per*float64(step)-1) > 1e-9 {
		return Cell{}, fmt.Errorf("a grid cannot have a step of %g degrees: choose 1, 0.1, 0.01 or 0.001", float64(step))
	}
	index := func(x float64) int {
		x *= per
		if r := math.Round(x); math.Abs(x-r) < 1e-9*max(1, math.Abs(x)) {
			return int(r)
		}
		return int(math.Floor(x))
	}
	n := int(per)
	c := Cell{row: min(index(float64(p.Lat)), 90*n-1), column: index(float64(p.Lon)), perDegree: n}
	if c.column >= 180*n { // 180° E is 180° W
		c.column -= 360 * n
	}
	return c, nil
}

// Generalise coarsens a position to the cell of a sensitivity category: the
// cell's centre and the radius in metres round it that holds the cell. Two
// positions in one cell give identical results, and coarsening the result
// again changes nothing.
func Generalise(p Position, category Category) (Position, Metres, error) {
	step, err := category.CellSize()
	if err != nil {
		return Position{}, 0, err
	}
	c, err := GridCell(p, step)
	if err != nil {
		return Position{}, 0, err
	}
	return c.Centre(), c.Radius(), nil
}

// at is the point of the cell at the given halves of its side, 0..2. Halves are
// whole numbers so that the same cell always gives the very same bits.
func (c Cell) at(halvesNorth, halvesEast int) Position {
	d := float64(2 * c.perDegree)
	return Position{
		Lat: Degrees(float64(2*c.row+halvesNorth) / d),
		Lon: Degrees(float64(2*c.column+halvesEast) / d),
	}
}

// Centre is the middle of the cell in degrees.
func (c Cell) Centre() Position { return c.at(1, 1) }

// Corners gives the south-west, south-east, north-east and north-west corner.
func (c Cell) Corners() [4]Position {
	return [4]Position{c.at(0, 0), c.at(0, 2), c.at(2, 2), c.at(2, 0)}
}

// Size is the side of the cell in degrees.
func (c Cell) Size() Degrees { return Degrees(1 / float64(c.perDegree)) }

// Radius is the distance in metres from the centre to the farthest corner: the
// uncertainty to publish with the centre.
func (c Cell) Radius() Metres {
	centre, radius := c.Centre(), Metres(0)
	for _, corner := range c.Corners() {
		radius = max(radius, Distance(centre, corner))
	}
	return radius
}
