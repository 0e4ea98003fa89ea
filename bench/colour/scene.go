package main

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"strings"

	"trug/science/card"
	"trug/science/colour"
	"trug/science/truecolour"
)

// thing is a fungus in the picture: a round patch of one reflectance with a
// texture, beside the card in its plane.
type thing struct {
	reflectance spectrum
	name        string
	at          card.Spot
	radius      card.Millimetres
}

// scene is all that a rendered photograph shows, and how.
type scene struct {
	light      spectrum
	lightName  string
	camera     camera
	layout     *card.Layout
	plane      card.Plane
	fields     map[string]spectrum // of the card, by patch; "" is the paper
	things     []thing
	ground     spectrum
	vignette   float64
	slope      [2]float64 // of the light's logarithm, over the half picture
	bulge      [3]float64 // a broad lighter or darker place: x, y in half pictures, strength
	texture    float64
	width      int
	height     int
	noiseSeed1 uint64
}

// print gives each field of a card the painted chip that comes nearest to its
// colour.
func print(l *card.Layout) map[string]spectrum {
	fields := map[string]spectrum{}
	nearest := func(want colour.Lab) spectrum {
		best, at := math.Inf(1), 0
		for i, c := range chips {
			if d := colour.Difference(want, trueLab(c.spectrum)); d < best {
				best, at = d, i
			}
		}
		return chips[at].spectrum
	}
	for _, p := range l.Patches {
		fields[p.ID] = nearest(colour.LabOfSRGB8(p.SRGB[0], p.SRGB[1], p.SRGB[2]))
	}
	fields[""] = nearest(colour.Lab{L: 96})
	return fields
}

// lamp picks the light: nine of ten by temperature, evenly in its reciprocal, from
// 2,500 to 10,000 K; one of ten a lamp of the CIE's list, light diodes or a flash.
func lamp(rnd *rand.Rand) (spectrum, string) {
	if rnd.Float64() < 0.1 {
		l := lamps[2+rnd.IntN(len(lamps)-2)]
		return l.spectrum, l.name
	}
	k := 1 / (1/10000.0 + rnd.Float64()*(1/2500.0-1/10000.0))
	return ofTemperature(k), "temperature"
}

// newScene draws a scene. Things are taken from those whose number is even or odd.
func newScene(rnd *rand.Rand, odd int) *scene {
	s := &scene{width: 720, height: 540}
	s.light, s.lightName = lamp(rnd)
	layouts := card.Layouts()
	s.layout = layouts[rnd.IntN(len(layouts))]
	s.fields = printed(s.layout)
	s.camera = newCamera(rnd, s.light, s.fields[""])
	s.ground = subjects[rnd.IntN(len(subjects))].spectrum
	s.vignette = 0.3 * rnd.Float64()
	turn := 2 * math.Pi * rnd.Float64()
	strength := 0.25 * rnd.Float64()
	s.slope = [2]float64{strength * math.Cos(turn), strength * math.Sin(turn)}
	s.bulge = [3]float64{2*rnd.Float64() - 1, 2*rnd.Float64() - 1, 0.2 * (rnd.Float64() - 0.5)}
	s.texture = 0.08 * rnd.Float64()
	s.noiseSeed1 = rnd.Uint64()
	s.place(rnd)
	for i := range 3 {
		k := 2*rnd.IntN(len(subjects)/2) + odd
		r := card.Millimetres(8 + 8*rnd.Float64())
		// In a row above the card, its rim 5 to 20 mm from it.
		s.things = append(s.things, thing{subjects[k].spectrum, subjects[k].name,
			card.Spot{X: s.layout.Width * card.Millimetres(float64(i)+0.5) / 3, Y: -r - card.Millimetres(5+15*rnd.Float64())}, r})
	}
	return s
}

var prints = map[string]map[string]spectrum{}

func printed(l *card.Layout) map[string]spectrum {
	if prints[l.ID] == nil {
		prints[l.ID] = print(l)
	}
	return prints[l.ID]
}

// place lays the card into the lower half of the picture, turned and tilted.
func (s *scene) place(rnd *rand.Rand) {
	l := s.layout
	scale := (0.42 + 0.13*rnd.Float64()) * float64(s.width) / float64(l.Width)
	turn := 0.3 * rnd.NormFloat64() * 0.5
	tx, ty := 0.0012*(rnd.Float64()-0.5), 0.0012*(rnd.Float64()-0.5)
	var spots []card.Spot
	var pixels []card.Pixel
	for i := range 4 {
		x, y := float64(l.Width)*float64(i%2), float64(l.Height)*float64(i/2)
		u, v := x-float64(l.Width)/2, y-float64(l.Height)/2
		a, b := u*math.Cos(turn)-v*math.Sin(turn), u*math.Sin(turn)+v*math.Cos(turn)
		w := 1 + tx*a + ty*b
		spots = append(spots, card.Spot{X: card.Millimetres(x), Y: card.Millimetres(y)})
		pixels = append(pixels, card.Pixel{X: float64(s.width)/2 + scale*a/w, Y: 0.66*float64(s.height) + scale*b/w})
	}
	p, err := card.FitPlane(l, s.width, s.height, spots, pixels)
	if err != nil {
		panic(err)
	}
	s.plane = p
}

// field is the strength of the light at a pixel.
func (s *scene) field(x, y float64) float64 {
	u, v := 2*x/float64(s.width)-1, 2*y/float64(s.height)-1
	r2 := (u*u + v*v) / 2
	du, dv := u-s.bulge[0], v-s.bulge[1]
	return (1 - s.vignette*r2) * math.Exp(s.slope[0]*u+s.slope[1]*v+s.bulge[2]*math.Exp(-(du*du+dv*dv)))
}

// photograph renders the scene and passes it through JPEG.
func (s *scene) photograph() *image.RGBA {
	rnd := rand.New(rand.NewPCG(s.noiseSeed1, 7))
	img := image.NewRGBA(image.Rect(0, 0, s.width, s.height))
	raw := s.materials()
	// What lies around card and things is not looked at: one colour is enough.
	ground := s.camera.develop(raw[1])
	for y := range s.height {
		for x := range s.width {
			m, in := s.material(float64(x), float64(y))
			if m == 1 {
				put(img, x, y, ground)
				continue
			}
			light := s.field(float64(x), float64(y))
			if in {
				light *= 1 + s.texture*ripple(float64(x), float64(y))
			}
			v := raw[m]
			for c := range v {
				v[c] = v[c]*light + s.camera.flare
				v[c] += rnd.NormFloat64() * math.Sqrt(s.camera.shot*s.camera.shot*math.Max(0, v[c])+s.camera.read*s.camera.read)
			}
			put(img, x, y, s.camera.develop(v))
		}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: s.camera.quality}); err != nil {
		panic(err)
	}
	back, err := jpeg.Decode(&file)
	if err != nil {
		panic(err)
	}
	draw.Draw(img, img.Rect, back, image.Point{}, draw.Src)
	return img
}

func put(img *image.RGBA, x, y int, encoded [3]float64) {
	o := img.PixOffset(x, y)
	for c := range encoded {
		img.Pix[o+c] = uint8(math.Round(255 * encoded[c]))
	}
	img.Pix[o+3] = 255
}

// ripple is a texture with mean 0.
func ripple(x, y float64) float64 {
	return (math.Sin(x*0.9+2*math.Sin(y*0.23)) + math.Sin(y*0.7+3*math.Sin(x*0.19))) / 2
}

// sees is the gained light of the sensor from a reflectance where the field is 1.
func (s *scene) sees(r spectrum) [3]float64 {
	v := through(s.camera.sensor, s.light, r)
	for c := range v {
		v[c] *= s.camera.gains[c]
	}
	return v
}

// materials are the sensor's light of all that the picture shows: paper, ground,
// black, patches, things.
func (s *scene) materials() [][3]float64 {
	var black spectrum
	for i := range black {
		black[i] = 0.035
	}
	m := [][3]float64{s.sees(s.fields[""]), s.sees(s.ground), s.sees(black)}
	for _, p := range s.layout.Patches {
		m = append(m, s.sees(s.fields[p.ID]))
	}
	for _, t := range s.things {
		m = append(m, s.sees(t.reflectance))
	}
	return m
}

// material is which of the materials a pixel shows; in says that it is a thing.
func (s *scene) material(x, y float64) (m int, in bool) {
	at, ok := s.plane.ToCard(card.Pixel{X: x, Y: y})
	if !ok {
		return 1, false
	}
	l := s.layout
	if at.X < 0 || at.Y < 0 || at.X > l.Width || at.Y > l.Height {
		for i, t := range s.things {
			if dx, dy := at.X-t.at.X, at.Y-t.at.Y; dx*dx+dy*dy < t.radius*t.radius {
				return 3 + len(l.Patches) + i, true
			}
		}
		return 1, false
	}
	inside := func(b card.Box) bool { return at.X >= b.X && at.X < b.X+b.W && at.Y >= b.Y && at.Y < b.Y+b.H }
	for i, p := range l.Patches {
		if inside(p.Box) {
			return 3 + i, false
		}
	}
	for _, t := range l.Tags {
		if inside(t.Black) {
			return 2, false
		}
	}
	return 0, false
}

// reference is the card as an instrument measured it, or as it was sent to the
// printer.
func (s *scene) reference(rnd *rand.Rand, measured bool) truecolour.Reference {
	if !measured {
		return truecolour.Unmeasured(s.layout)
	}
	r := truecolour.Reference{Lab: map[string]colour.Lab{}, Measured: true, SD: 0.3}
	for _, id := range append(ids(s.layout), truecolour.Paper) {
		lab := trueLab(s.fields[strings.TrimSuffix(id, truecolour.Paper)])
		r.Lab[id] = colour.Lab{L: lab.L + 0.3*rnd.NormFloat64(), A: lab.A + 0.3*rnd.NormFloat64(), B: lab.B + 0.3*rnd.NormFloat64()}
	}
	return r
}

func ids(l *card.Layout) []string {
	var all []string
	for _, p := range l.Patches {
		all = append(all, p.ID)
	}
	return all
}

// look averages a thing's pixels in the photograph, in linear light as stored.
func (s *scene) look(img *image.RGBA, t thing) (stored [3]float64) {
	n := 0.0
	middle, reach := s.plane.ToImage(t.at), 1.5*float64(t.radius)*s.plane.PxPerMM(t.at)
	for y := max(0, int(middle.Y-reach)); y < min(s.height, int(middle.Y+reach)); y++ {
		for x := max(0, int(middle.X-reach)); x < min(s.width, int(middle.X+reach)); x++ {
			at, ok := s.plane.ToCard(card.Pixel{X: float64(x), Y: float64(y)})
			if !ok {
				continue
			}
			dx, dy := at.X-t.at.X, at.Y-t.at.Y
			if dx*dx+dy*dy > 0.5*t.radius*t.radius {
				continue
			}
			o := img.PixOffset(x, y)
			for c := range stored {
				stored[c] += colour.Decode(float64(img.Pix[o+c]) / 255)
			}
			n++
		}
	}
	for c := range stored {
		stored[c] /= n
	}
	return stored
}

// region is a thing as a tap with a radius marks it.
func (s *scene) region(img *image.RGBA, t thing) *truecolour.Region {
	r, err := truecolour.Disc(img.Rect, s.plane.ToImage(t.at), 0.7*float64(t.radius)*s.plane.PxPerMM(t.at))
	if err != nil {
		panic(err)
	}
	return r
}
