package place

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Square is a cell of the UTM map grid, 100 m, 1 km or 10 km to the side. It is
// a value that can be compared and used as the key of a map. Squares at the
// border of a zone are whole on the grid although the zone cuts them; a
// position always belongs to the square of its own zone.
type Square struct {
	Zone  int    // 1..60
	North bool   // hemisphere
	Side  Metres // 100, 1000 or 10,000
	// Column and Row count sides from the grid's origin: the square's south-west
	// corner has easting Column×Side and northing Row×Side.
	Column, Row int
}

func checkSide(side Metres) error {
	if side != 100 && side != 1000 && side != 10_000 {
		return fmt.Errorf("a square cannot have a side of %g m: choose 100, 1000 or 10000", float64(side))
	}
	return nil
}

// SquareOf gives the square of the given side (100, 1000 or 10,000 m) that holds
// a position. It fails for other sides and beyond the map grid.
func SquareOf(p Position, side Metres) (Square, error) {
	if err := checkSide(side); err != nil {
		return Square{}, err
	}
	u, _, err := ToUTM(p)
	if err != nil {
		return Square{}, err
	}
	return Square{
		Zone: u.Zone, North: u.North, Side: side,
		Column: int(math.Floor(float64(u.Easting / side))), Row: int(math.Floor(float64(u.Northing / side))),
	}, nil
}

// at is the point of the square at the given parts of its side, 0..1.
func (s Square) at(east, north float64) Position {
	u := UTM{
		Zone: s.Zone, North: s.North,
		Easting:  (Metres(s.Column) + Metres(east)) * s.Side,
		Northing: (Metres(s.Row) + Metres(north)) * s.Side,
	}
	p, err := u.Position()
	if err != nil {
		return Position{Lat: Degrees(math.NaN()), Lon: Degrees(math.NaN())}
	}
	return p
}

// Centre is the middle of the square; of a Square that lies on no grid it is NaN.
func (s Square) Centre() Position { return s.at(0.5, 0.5) }

// Corners gives the south-west, south-east, north-east and north-west corner.
func (s Square) Corners() [4]Position {
	return [4]Position{s.at(0, 0), s.at(1, 0), s.at(1, 1), s.at(0, 1)}
}

// Outline gives the square's border with each side cut into the given number of
// parts (at least one), because straight lines of the grid are bent on a map in
// latitude and longitude. It starts south-west, runs counter-clockwise and does
// not repeat the first point.
func (s Square) Outline(parts int) []Position {
	parts = max(parts, 1)
	ways := [4][4]float64{{0, 0, 1, 0}, {1, 0, 0, 1}, {1, 1, -1, 0}, {0, 1, 0, -1}}
	outline := make([]Position, 0, 4*parts)
	for _, w := range ways {
		for i := range parts {
			t := float64(i) / float64(parts)
			outline = append(outline, s.at(w[0]+t*w[2], w[1]+t*w[3]))
		}
	}
	return outline
}

// Uncertainty is the greatest distance on the ground from the centre to a
// corner: about 0.7072 of the side, 71 m rounded up for a side of 100 m.
func (s Square) Uncertainty() Metres {
	centre, radius := s.Centre(), Metres(0)
	for _, c := range s.Corners() {
		radius = max(radius, Distance(centre, c))
	}
	return radius
}

// Name is the square's name: zone and band, then easting and northing of its
// south-west corner with as many digits as the side leaves, so that the name
// tells the side: "27U 58 538" (10 km), "27U 583 5382" (1 km), "27U 5831 53824"
// (100 m). The band is that of the centre.
func (s Square) Name() string {
	e, n := s.digits()
	return fmt.Sprintf("%d%c %0*d %0*d", s.Zone, band(float64(s.Centre().Lat)), e, s.Column, n, s.Row)
}

// String is Name.
func (s Square) String() string { return s.Name() }

// digits says how many digits of a six-digit easting and a seven-digit
// northing the side leaves.
func (s Square) digits() (easting, northing int) {
	switch s.Side {
	case 100:
		return 4, 5
	case 1000:
		return 3, 4
	}
	return 2, 3
}

// ParseSquare reads a square's name as Name writes it.
func ParseSquare(name string) (Square, error) {
	parts := strings.Fields(name)
	if len(parts) != 3 || len(parts[0]) < 2 || len(parts[0]) > 3 {
		return Square{}, fmt.Errorf("%q is not the name of a square: write zone and band, easting and northing, as in 27U 583 5382", name)
	}
	letter := strings.ToUpper(parts[0])[len(parts[0])-1]
	zone, err := strconv.Atoi(parts[0][:len(parts[0])-1])
	bandIndex := strings.IndexByte(bandLetters, letter)
	if err != nil || zone < 1 || zone > 60 || bandIndex < 0 {
		return Square{}, fmt.Errorf("%q is not a zone and band of the map grid: zones run from 1 to 60, bands from C to X without I and O", parts[0])
	}
	side, ok := map[[2]int]Metres{{4, 5}: 100, {3, 4}: 1000, {2, 3}: 10_000}[[2]int{len(parts[1]), len(parts[2])}]
	column, err1 := strconv.ParseUint(parts[1], 10, 32)
	row, err2 := strconv.ParseUint(parts[2], 10, 32)
	if !ok || err1 != nil || err2 != nil {
		return Square{}, fmt.Errorf("%q is not an easting and northing of a square: give 2 and 3 digits for 10 km, 3 and 4 for 1 km, 4 and 5 for 100 m", parts[1]+" "+parts[2])
	}
	s := Square{Zone: zone, North: letter >= 'N', Side: side, Column: int(column), Row: int(row)}
	if s.Name() != fmt.Sprintf("%d%c %s %s", zone, letter, parts[1], parts[2]) {
		return Square{}, fmt.Errorf("square %q does not lie in band %c: check the letter and the northing", name, letter)
	}
	return s, nil
}
