package render

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// Photograph renders a photograph: its JPEG and what is true of it.
func Photograph(s Settings) ([]byte, *Truth, error) {
	sc, truth, err := build(s)
	if err != nil {
		return nil, nil, err
	}
	f := &film{w: s.Width, h: s.Height}
	f.expose(sc)
	if s.BodyBlur > 0 {
		f.depth(sc)
	} else {
		f.blur(s.Blur)
	}
	if s.MotionPx > 0 {
		f.smear(s.MotionPx, s.MotionDeg)
	}
	img := f.develop(s)
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: s.Quality}); err != nil {
		return nil, nil, err
	}
	if !s.EXIF {
		return out.Bytes(), truth, nil
	}
	return withFocal(out.Bytes(), s), truth, nil
}

// film holds linear light, interleaved.
type film struct {
	w, h int
	px   []float32
}

// expose traces the picture. Ground and caps are traced at every other pixel
// and filled in between, the card at each; where neighbours show different
// things nine rays are averaged.
func (f *film) expose(sc *scene) {
	f.px = make([]float32, 3*f.w*f.h)
	ids := make([]uint64, f.w*f.h)
	trace := func(x, y int) {
		c, id := sc.look(float64(x), float64(y))
		copy(f.px[3*(y*f.w+x):], c[:])
		ids[y*f.w+x] = id
	}
	for y := 0; y < f.h; y += 2 {
		for x := 0; x < f.w; x += 2 {
			trace(x, y)
		}
	}
	for y := range f.h {
		for x := 1 - y&1; x < f.w; x += 1 + (1 - y&1) {
			if !f.fill(ids, x, y) {
				trace(x, y)
			}
		}
	}
	for y := 1; y < f.h-1; y++ {
		for x := 1; x < f.w-1; x++ {
			i := y*f.w + x
			if id := ids[i]; ids[i-1] == id && ids[i+1] == id && ids[i-f.w] == id && ids[i+f.w] == id {
				continue
			}
			c := rgb{}
			for k := range 9 {
				v, _ := sc.look(float64(x)+float64(k%3-1)/3, float64(y)+float64(k/3-1)/3)
				c = c.add(v)
			}
			c = c.mul(1. / 9)
			copy(f.px[3*i:], c[:])
		}
	}
}

// fill takes a pixel as the mean of the traced ones round it, if they show
// one thing and it is not the card.
func (f *film) fill(ids []uint64, x, y int) bool {
	x0, y0 := x&^1, y&^1
	x1, y1 := x0+2*(x&1), y0+2*(y&1)
	if x1 >= f.w || y1 >= f.h {
		return false
	}
	at := [4]int{y0*f.w + x0, y0*f.w + x1, y1*f.w + x0, y1*f.w + x1}
	id := ids[at[0]]
	if id >= firstInk && id < firstInk+inks {
		return false
	}
	for _, i := range at {
		if ids[i] != id {
			return false
		}
	}
	ids[y*f.w+x] = id
	for c := range 3 {
		f.px[3*(y*f.w+x)+c] = (f.px[3*at[0]+c] + f.px[3*at[1]+c] + f.px[3*at[2]+c] + f.px[3*at[3]+c]) / 4
	}
	return true
}

// depth blurs the fruitbodies and what lies behind them each by its own spread,
// and lays the one over the other with the fruitbodies' blurred outline as the
// share of light that passes it.
func (f *film) depth(sc *scene) {
	behind := &film{w: f.w, h: f.h}
	sc.hidden = true
	behind.expose(sc)
	sc.hidden = false
	front := &film{w: f.w, h: f.h, px: make([]float32, len(f.px))}
	cover := &film{w: f.w, h: f.h, px: make([]float32, len(f.px))}
	for y := range f.h {
		for x := range f.w {
			share := sc.bodyShare(float64(x), float64(y))
			if share == 0 {
				continue
			}
			i := 3 * (y*f.w + x)
			for c := range 3 {
				// Where an outline runs through the pixel, f mixes both.
				front.px[i+c] = max(f.px[i+c]-(1-share)*behind.px[i+c], 0)
				cover.px[i+c] = share
			}
		}
	}
	front.blur(sc.s.BodyBlur)
	cover.blur(sc.s.BodyBlur)
	behind.blur(sc.s.Blur)
	for i := range f.px {
		f.px[i] = front.px[i] + (1-cover.px[i])*behind.px[i]
	}
}

// bodyShare is the share of a pixel that a fruitbody covers, 0..1.
func (sc *scene) bodyShare(x, y float64) float32 {
	hit := func(x, y float64) bool {
		_, id := sc.look(x, y)
		return id >= firstBody && id < firstBody+uint64(len(sc.bodies))
	}
	corner := 0
	for _, d := range [4][2]float64{{-.5, -.5}, {.5, -.5}, {-.5, .5}, {.5, .5}} {
		if hit(x+d[0], y+d[1]) {
			corner++
		}
	}
	if corner == 0 || corner == 4 {
		return float32(corner / 4)
	}
	n := 0
	for k := range 9 {
		if hit(x+float64(k%3-1)/3, y+float64(k/3-1)/3) {
			n++
		}
	}
	return float32(n) / 9
}

// blur is a Gaussian in both directions.
func (f *film) blur(sigma float64) {
	n := int(math.Ceil(3.5 * sigma))
	k := make([]float32, n+1)
	sum := float32(0)
	for i := range k { // integrated over a pixel
		k[i] = float32(math.Erf((float64(i)+.5)/(sigma*math.Sqrt2))-math.Erf((float64(i)-.5)/(sigma*math.Sqrt2))) / 2
		sum += k[i]
		if i > 0 {
			sum += k[i]
		}
	}
	for i := range k {
		k[i] /= sum
	}
	out := make([]float32, len(f.px))
	for y := range f.h {
		a, b := f.px[3*y*f.w:3*(y+1)*f.w], out[3*y*f.w:3*(y+1)*f.w]
		f.line(a, b, k, 3, f.w)
	}
	for y := range f.h {
		b := f.px[3*y*f.w : 3*(y+1)*f.w]
		clear(b)
		for d := -n; d <= n; d++ {
			q := min(max(y+d, 0), f.h-1)
			w := k[max(d, -d)]
			for i, v := range out[3*q*f.w : 3*(q+1)*f.w] {
				b[i] += w * v
			}
		}
	}
}

func (f *film) line(a, b, k []float32, step, n int) {
	m := len(k) - 1
	for x := range n {
		for c := range step {
			s := k[0] * a[step*x+c]
			for d := 1; d <= m; d++ {
				s += k[d] * (a[step*max(x-d, 0)+c] + a[step*min(x+d, n-1)+c])
			}
			b[step*x+c] = s
		}
	}
}

// smear is a hand that moved along a line.
func (f *film) smear(px, deg float64) {
	src := append([]float32(nil), f.px...)
	dx, dy := math.Cos(deg*math.Pi/180), math.Sin(deg*math.Pi/180)
	const n = 9
	for y := range f.h {
		for x := range f.w {
			var s [3]float32
			for i := range n {
				t := (float64(i)/(n-1) - .5) * px
				q := 3 * (min(max(y+int(math.Round(t*dy)), 0), f.h-1)*f.w + min(max(x+int(math.Round(t*dx)), 0), f.w-1))
				for c := range s {
					s[c] += src[q+c]
				}
			}
			for c := range s {
				f.px[3*(y*f.w+x)+c] = s[c] / n
			}
		}
	}
}

// develop applies exposure, curve, noise, and the phone's sharpening.
func (f *film) develop(s Settings) *image.RGBA {
	r := rand.New(rand.NewPCG(s.Seed, 0x6e6f697365))
	gauss := make([]float32, 1<<16)
	for i := range gauss {
		gauss[i] = float32(r.NormFloat64())
	}
	curve := make([]float32, 4097)
	for i := range curve {
		x := float64(i) / 4096
		if x <= .0031308 {
			x *= 12.92
		} else {
			x = 1.055*math.Pow(x, 1/2.4) - .055
		}
		curve[i] = float32(255 * x)
	}
	for i, v := range f.px {
		t := min(max(v*float32(s.Exposure), 0), 1) * 4096
		k := min(int(t), 4095)
		f.px[i] = curve[k] + (curve[k+1]-curve[k])*(t-float32(k))
	}
	for y := range f.h { // grey noise with a little colour in it
		for x := range f.w {
			h := hash(s.Seed + uint64(y*f.w+x))
			g := gauss[h&0xffff]
			for c := range 3 {
				f.px[3*(y*f.w+x)+c] += float32(s.Noise) * (.9*g + .4*gauss[h>>(16*(c+1))&0xffff])
			}
		}
	}
	if s.Sharpen > 0 {
		soft := &film{w: f.w, h: f.h, px: append([]float32(nil), f.px...)}
		soft.blur(1.2)
		for i, v := range soft.px {
			f.px[i] += float32(s.Sharpen) * (f.px[i] - v)
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, f.w, f.h))
	for i := range f.w * f.h {
		for c := range 3 {
			img.Pix[4*i+c] = uint8(min(max(f.px[3*i+c]+.5, 0), 255))
		}
		img.Pix[4*i+3] = 255
	}
	return img
}

// withFocal puts an EXIF segment with the focal length as on 35 mm film, by
// the diagonal and rounded to a millimetre as phones write it, behind the
// start of a JPEG.
func withFocal(jpg []byte, s Settings) []byte {
	f35 := math.Round(s.FocalPx * math.Hypot(36, 24) / math.Hypot(float64(s.Width), float64(s.Height)))
	le := binary.LittleEndian
	tiff := []byte("II*\x00\x08\x00\x00\x00")
	tiff = le.AppendUint16(tiff, 1) // the main directory points to the Exif one
	tiff = le.AppendUint16(tiff, 0x8769)
	tiff = le.AppendUint16(tiff, 4)
	tiff = le.AppendUint32(tiff, 1)
	tiff = le.AppendUint32(tiff, 26)
	tiff = le.AppendUint32(tiff, 0)
	tiff = le.AppendUint16(tiff, 1)
	tiff = le.AppendUint16(tiff, 0xa405) // FocalLengthIn35mmFilm
	tiff = le.AppendUint16(tiff, 3)
	tiff = le.AppendUint32(tiff, 1)
	tiff = le.AppendUint32(tiff, uint32(f35))
	tiff = le.AppendUint32(tiff, 0)
	seg := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{}, jpg[:2]...)
	out = append(out, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(seg)+2))
	out = append(out, seg...)
	return append(out, jpg[2:]...)
}
