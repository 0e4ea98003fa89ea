package paint

import "sync"

// The field card, in mm from its upper left corner (x right, y down): four
// tags of the tag36h11 family at the corners, colour and grey patches, two
// dots 50 mm apart and rulers along two edges.
const (
	CardWidthMM  = 105.0
	CardHeightMM = 74.0
	tagMM        = 18.0 // edge of a tag's black square
)

// CardTagsMM holds the upper left corners of the black squares of tags 0-3.
var CardTagsMM = [4][2]float64{{6, 6}, {81, 6}, {81, 50}, {6, 50}}

// Rows of 10 x 10 cells, 1 = white, ids 0-3 of tag36h11 (AprilRobotics, Regents
// of the University of Michigan, BSD-2-Clause).
var tagCells = [4][10]string{
	{"1111111111", "1000000001", "1011010101", "1001110101", "1001100001",
		"1010100001", "1001011001", "1000010001", "1000000001", "1111111111"},
	{"1111111111", "1000000001", "1011011001", "1001011101", "1011110001",
		"1001100001", "1010110101", "1000100101", "1000000001", "1111111111"},
	{"1111111111", "1000000001", "1011011101", "1001001001", "1010000001",
		"1000100101", "1000010001", "1000111001", "1000000001", "1111111111"},
	{"1111111111", "1000000001", "1011100101", "1000011101", "1010011101",
		"1010100101", "1011001001", "1001100001", "1000000001", "1111111111"},
}

// Patches of the card: two rows of colours, one of greys (sRGB, invented).
var cardPatches = [3][6]uint32{
	{0xb5382f, 0xd9822b, 0xe2c43a, 0x4f8a3c, 0x2f7f8f, 0x3a4f9c},
	{0x7a4a8c, 0x8c5a3c, 0xc9a27e, 0xd6a3b0, 0x9db7d6, 0x6f7a3a},
	{0xf2f2f2, 0xc8c8c8, 0xa0a0a0, 0x7a7a7a, 0x555555, 0x343434},
}

// Reflectances of the card's paper and black ink, linear.
const cardWhite, cardBlack = 0.86, 0.035

// cardInk gives the card's colour at a point in mm.
func cardInk(x, y float32) v3 {
	white := v3{cardWhite, cardWhite, cardWhite}
	black := v3{cardBlack, cardBlack, cardBlack}
	for id, t := range CardTagsMM {
		cx, cy := (x-float32(t[0]))/(tagMM/8)+1, (y-float32(t[1]))/(tagMM/8)+1
		if cx >= 0 && cy >= 0 && cx < 10 && cy < 10 {
			if tagCells[id][int(cy)][int(cx)] == '0' {
				return black
			}
			return white
		}
	}
	for r, y0 := range [3]float32{8, 16, 26} {
		if y >= y0 && y < y0+7 && x >= 29 {
			if k := int((x - 29) / 8); k < 6 && x-29-8*float32(k) < 7 {
				return rgb(cardPatches[r][k])
			}
		}
	}
	for _, dx := range [2]float32{27.5, 77.5} {
		if ex, ey := x-dx, y-46; ex*ex+ey*ey < 0.64 {
			return black
		}
	}
	if tick(x-28.5, 68-y, 47) || tick(y-29.5, x-1.2, 15) {
		return black
	}
	if y > 67.9 && y < 68.1 && x > 28.5 && x < 75.5 {
		return black
	}
	// A plain frame where the finder writes a number, and two ruled lines.
	if x > 33 && x < 72 && y > 38 && y < 57 {
		if (y > 56.7 && y < 57) || (y > 50.4 && y < 50.7) {
			return v3{0.3, 0.3, 0.3}
		}
	}
	return white
}

// tick draws millimetre ticks from 0 to n along a, standing up along b.
func tick(a, b float32, n int) bool {
	if b < 0 || b > 4 || a < -0.15 || a > float32(n)+0.15 {
		return false
	}
	k := int(a + 0.5)
	if abs(a-float32(k)) > 0.12 {
		return false
	}
	return b < 1.6 || k%5 == 0 && b < 2.6 || k%10 == 0
}

type cardLevel struct {
	w, h int
	k    float32 // px per mm
	px   []v3
}

// cardLevels holds the card drawn at 32, 16, 8, 4, 2 and 1 px per mm.
var cardLevels = sync.OnceValue(func() []cardLevel {
	const k0 = 32
	w, h := int(CardWidthMM*k0), int(CardHeightMM*k0)
	top := cardLevel{w, h, k0, make([]v3, w*h)}
	for y := range h {
		for x := range w {
			top.px[y*w+x] = cardInk((float32(x)+0.5)/k0, (float32(y)+0.5)/k0)
		}
	}
	ls := []cardLevel{top}
	for len(ls) < 6 {
		a := &ls[len(ls)-1]
		b := cardLevel{w: a.w / 2, h: a.h / 2, k: a.k / 2}
		b.px = make([]v3, b.w*b.h)
		for y := range b.h {
			for x := range b.w {
				i := 2*y*a.w + 2*x
				b.px[y*b.w+x] = a.px[i].add(a.px[i+1]).add(a.px[i+a.w]).add(a.px[i+a.w+1]).mul(0.25)
			}
		}
		ls = append(ls, b)
	}
	return ls
})

// cardPose is where the card lies: its upper left corner and unit axes.
type cardPose struct{ at, x, y v3 }

// colour samples the card at a world point, mm being the size of a pixel.
func (c *cardPose) colour(w v3, mm float32) v3 {
	d := w.sub(c.at)
	x, y := d.dot(c.x), d.dot(c.y)
	ls := cardLevels()
	k := 0
	for k < len(ls)-2 && ls[k+1].k*mm > 1 {
		k++
	}
	t := clamp((ls[k].k*mm-1)/1, 0, 1)
	return ls[k].at(x, y).mix(ls[k+1].at(x, y), t)
}

func (l *cardLevel) at(x, y float32) v3 {
	fx := clamp(x*l.k-0.5, 0, float32(l.w)-1.01)
	fy := clamp(y*l.k-0.5, 0, float32(l.h)-1.01)
	ix, iy := int(fx), int(fy)
	fx -= float32(ix)
	fy -= float32(iy)
	i := iy*l.w + ix
	return l.px[i].mix(l.px[i+1], fx).mix(l.px[i+l.w].mix(l.px[i+l.w+1], fx), fy)
}

// layCard draws the card with its centre at c, its normal n, turned by roll
// about the normal from the direction right.
func (f *frame) layCard(c, n, right v3, roll float32) *cardPose {
	n = n.unit()
	x := right.sub(n.mul(right.dot(n))).unit()
	y := x.cross(n) // down the card as seen from its face
	x, y = x.mul(cos(roll)).add(y.mul(sin(roll))), y.mul(cos(roll)).sub(x.mul(sin(roll)))
	pose := &cardPose{c.sub(x.mul(CardWidthMM / 2)).sub(y.mul(CardHeightMM / 2)), x, y}
	m := f.start(matCard)
	m.grid(12, 9, false, func(u, v float32) (v3, v3) {
		return pose.at.add(x.mul(u * CardWidthMM)).add(y.mul(v * CardHeightMM)), v3{}
	})
	f.draw(m, identity, true)
	return pose
}
