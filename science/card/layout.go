package card

import (
	"encoding/json"
	"fmt"
	"slices"
	"sync"
)

// Millimetres is a length on the card or in its plane.
type Millimetres float64

// Pixel is a point of a photograph: pixel centres lie at integers, x runs to
// the right, y down.
type Pixel struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Spot is a point in the card's plane, from the card's upper left corner, x
// to the right, y down. It may lie outside the card.
type Spot struct{ X, Y Millimetres }

// Box is an upright rectangle on the card.
type Box struct {
	X, Y, W, H Millimetres // upper left corner, width and height
}

// Middle is the box's centre.
func (b Box) Middle() Spot { return Spot{b.X + b.W/2, b.Y + b.H/2} }

// Tag is the place of a tag on a card.
type Tag struct {
	// Seat counts the places clockwise from the upper left one: 0 to 3.
	Seat int
	// Black is the tag's black square; one cell (an eighth of it) of white
	// stands round it.
	Black Box
}

// Patch is a field of one colour.
type Patch struct {
	// ID names the patch within its layout: "ochre", "grey-3".
	ID  string
	Box Box
	// SRGB is what is sent to the printer. What comes out of it differs; the
	// card batch keeps what was measured.
	SRGB [3]uint8
	// Grey tells the steps of the grey scale from the colours.
	Grey bool
}

// Ruler is a line of ticks, one a millimetre.
type Ruler struct {
	From, To Spot // of the line that the ticks stand on
	// Inward points from the line to the ticks' ends: one of its parts is 1 or
	// -1, the other 0.
	Inward [2]int
	// Short, Five and Ten are the lengths of the ticks.
	Short, Five, Ten Millimetres
	// Figures says that centimetres are numbered.
	Figures bool
}

// Dot is a filled circle.
type Dot struct {
	At     Spot
	Radius Millimetres
}

// Layout is all that is printed at a known place of one kind of card.
type Layout struct {
	// ID is its short name: "pocket". Name is for people.
	ID, Name      string
	Width, Height Millimetres
	// FirstQuad and Quads say which ids its tags take, see Ids.
	FirstQuad, Quads int
	Tags             [4]Tag
	Patches          []Patch
	Rulers           []Ruler
	Dots             []Dot
	// Room is where a printed card has its words, drawings and square code.
	// Empty for cards that are not printed here.
	Square, Drawings, Words Box
}

// Batches is how many batches of cards the layout's ids can tell apart.
func (l *Layout) Batches() int { return l.Quads * l.Quads }

// Ids returns the ids of a card's four tags by seat. The family's ids are
// taken in quads, 4q to 4q+3, and a tag's id leaves its seat when divided by
// four. A layout owns Quads of them from FirstQuad on. The tags of seats 0 and
// 2 come from one quad, those of 1 and 3 from another, so that any two
// neighbours tell the batch; the first Quads batches share no id at all.
func (l *Layout) Ids(batch int) ([4]int, error) {
	if batch < 0 || batch >= l.Batches() {
		return [4]int{}, fmt.Errorf("the %s has batches 0 to %d, and no %d", l.Name, l.Batches()-1, batch)
	}
	a := batch % l.Quads
	b := (a + batch/l.Quads) % l.Quads
	a, b = 4*(l.FirstQuad+a), 4*(l.FirstQuad+b)
	return [4]int{a, b + 1, a + 2, b + 3}, nil
}

// batchOf is the reverse of Ids, from the quads of two neighbours.
func (l *Layout) batchOf(even, odd int) int {
	a, b := even-l.FirstQuad, odd-l.FirstQuad
	return (b-a+l.Quads)%l.Quads*l.Quads + a
}

// seatOf tells whose tag an id is: the layout and the seat. Ids that no card
// bears give nil.
func seatOf(id int) (*Layout, int) {
	for _, l := range Layouts() {
		if q := id / 4; id >= 0 && q >= l.FirstQuad && q < l.FirstQuad+l.Quads {
			return l, id % 4
		}
	}
	return nil, 0
}

// Corners are the corners of the black square at a seat, clockwise from the
// upper left.
func (l *Layout) Corners(seat int) [4]Spot {
	b := l.Tags[seat].Black
	return [4]Spot{{b.X, b.Y}, {b.X + b.W, b.Y}, {b.X + b.W, b.Y + b.H}, {b.X, b.Y + b.H}}
}

// Layouts are the cards that are known: the reference card and ours. They
// must not be changed.
var Layouts = sync.OnceValue(func() []*Layout {
	l, err := readLayouts()
	if err != nil {
		panic(err)
	}
	return l
})

// LayoutByID finds a layout by its short name.
func LayoutByID(id string) (*Layout, error) {
	var names []string
	for _, l := range Layouts() {
		if l.ID == id {
			return l, nil
		}
		names = append(names, l.ID)
	}
	return nil, fmt.Errorf("there is no card %q: choose one of %q", id, names)
}

// Patch finds a patch by its name.
func (l *Layout) Patch(id string) (Patch, bool) {
	i := slices.IndexFunc(l.Patches, func(p Patch) bool { return p.ID == id })
	if i < 0 {
		return Patch{}, false
	}
	return l.Patches[i], true
}

// file is how layouts.json says it: lengths in millimetres, colours as in CSS.
type file struct {
	ID        string        `json:"id"`
	Name      string        `json:"name"`
	Size      [2]float64    `json:"size"`
	FirstQuad int           `json:"firstQuad"`
	Quads     int           `json:"quads"`
	TagSide   float64       `json:"tagSide"`
	Tags      [4][2]float64 `json:"tags"`
	Rows      []struct {
		At     [2]float64 `json:"at"`
		Pitch  float64    `json:"pitch"`
		Side   float64    `json:"side"`
		Grey   bool       `json:"grey"`
		Fields []struct {
			ID     string `json:"id"`
			Colour string `json:"colour"`
		} `json:"fields"`
	} `json:"rows"`
	Rulers []struct {
		From, To [2]float64
		Inward   [2]int
		Ticks    [3]float64
		Figures  bool
	} `json:"rulers"`
	Dots []struct {
		At     [2]float64
		Radius float64
	} `json:"dots"`
	Square, Drawings, Words [4]float64
}

func readLayouts() ([]*Layout, error) {
	raw, err := files.ReadFile("data/layouts.json")
	if err != nil {
		return nil, err
	}
	var in []file
	if err := json.Unmarshal(raw, &in); err != nil {
		return nil, fmt.Errorf("layouts.json: %w", err)
	}
	var out []*Layout
	for _, f := range in {
		l, err := f.layout()
		if err != nil {
			return nil, fmt.Errorf("layouts.json, %s: %w", f.ID, err)
		}
		out = append(out, l)
	}
	return out, nil
}

func spot(v [2]float64) Spot { return Spot{Millimetres(v[0]), Millimetres(v[1])} }

func box(v [4]float64) Box {
	return Box{Millimetres(v[0]), Millimetres(v[1]), Millimetres(v[2]), Millimetres(v[3])}
}

func (f file) layout() (*Layout, error) {
	l := &Layout{ID: f.ID, Name: f.Name, Width: Millimetres(f.Size[0]), Height: Millimetres(f.Size[1]),
		FirstQuad: f.FirstQuad, Quads: f.Quads, Square: box(f.Square), Drawings: box(f.Drawings), Words: box(f.Words)}
	for i, t := range f.Tags {
		l.Tags[i] = Tag{i, box([4]float64{t[0], t[1], f.TagSide, f.TagSide})}
	}
	for _, r := range f.Rows {
		for i, p := range r.Fields {
			patch := Patch{ID: p.ID, Grey: r.Grey, Box: box([4]float64{r.At[0] + float64(i)*r.Pitch, r.At[1], r.Side, r.Side})}
			if n, err := fmt.Sscanf(p.Colour, "#%02x%02x%02x", &patch.SRGB[0], &patch.SRGB[1], &patch.SRGB[2]); n != 3 {
				return nil, fmt.Errorf("the colour of %s: %w", p.ID, err)
			}
			l.Patches = append(l.Patches, patch)
		}
	}
	for _, r := range f.Rulers {
		l.Rulers = append(l.Rulers, Ruler{spot(r.From), spot(r.To), r.Inward,
			Millimetres(r.Ticks[0]), Millimetres(r.Ticks[1]), Millimetres(r.Ticks[2]), r.Figures})
	}
	for _, d := range f.Dots {
		l.Dots = append(l.Dots, Dot{spot(d.At), Millimetres(d.Radius)})
	}
	return l, nil
}
