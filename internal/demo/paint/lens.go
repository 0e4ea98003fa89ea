package paint

import (
	"image"
	"math"
	"sync"
)

// develop takes f.hdr to the finished picture: depth of field, blur of the
// whole frame, vignette, noise and the sRGB curve.
func (f *frame) develop(l *light, noiseSeed uint64) *image.RGBA {
	if l.dof > 0 {
		f.depthOfField(l)
	}
	if l.shake != (v3{}) {
		f.smear(l.shake)
	}
	if l.soft > 0.3 {
		r := int(l.soft + 0.5)
		for range 2 {
			boxBlur(f.hdr, f.scratch, Width, Height, max(r, 1))
		}
	} else {
		f.lensBlur()
	}
	return f.encode(l, noiseSeed)
}

// lensBlur is the ordinary slight softness of a lens and sensor.
func (f *frame) lensBlur() {
	const w = 3 * Width
	src, dst := f.hdr, f.scratch
	for y := range Height {
		r := src[y*w : y*w+w]
		d := dst[y*w : y*w+w]
		copy(d[:3], r[:3])
		copy(d[w-3:], r[w-3:])
		for i := 3; i < w-3; i++ {
			d[i] = 0.25*(r[i-3]+r[i+3]) + 0.5*r[i]
		}
	}
	copy(src[:w], dst[:w])
	copy(src[(Height-1)*w:], dst[(Height-1)*w:])
	for y := 1; y < Height-1; y++ {
		a, b, c := dst[(y-1)*w:y*w], dst[y*w:y*w+w], dst[(y+1)*w:(y+2)*w]
		d := src[y*w : y*w+w]
		for i := range d {
			d[i] = 0.2*(a[i]+c[i]) + 0.6*b[i]
		}
	}
}

// boxBlur blurs interleaved RGB both ways with a box of 2r+1.
func boxBlur(img, tmp []float32, w, h, r int) {
	k := 1 / float32(2*r+1)
	for y := range h {
		row, out := img[3*y*w:3*(y+1)*w], tmp[3*y*w:3*(y+1)*w]
		for c := range 3 {
			var s float32
			for x := -r; x <= r; x++ {
				s += row[3*min(max(x, 0), w-1)+c]
			}
			for x := range w {
				out[3*x+c] = s * k
				s += row[3*min(x+r+1, w-1)+c] - row[3*max(x-r, 0)+c]
			}
		}
	}
	sum := make([]float32, 3*w)
	line := func(y int) []float32 { y = min(max(y, 0), h-1); return tmp[3*y*w : 3*(y+1)*w] }
	for y := -r; y <= r; y++ {
		for i, v := range line(y) {
			sum[i] += v
		}
	}
	for y := range h {
		a, b := line(y+r+1), line(y-r)
		out := img[3*y*w : 3*(y+1)*w]
		for i := range out {
			out[i] = sum[i] * k
			sum[i] += a[i] - b[i]
		}
	}
}

// smear blurs along a line: a hand that moved.
func (f *frame) smear(v v3) {
	const n = 9
	copy(f.scratch, f.hdr)
	for y := range Height {
		for x := range Width {
			var s v3
			for i := range n {
				t := float32(i)/(n-1) - 0.5
				qx := min(max(x+int(t*v.x+0.5), 0), Width-1)
				qy := min(max(y+int(t*v.y+0.5), 0), Height-1)
				k := 3 * (qy*Width + qx)
				s.x += f.scratch[k]
				s.y += f.scratch[k+1]
				s.z += f.scratch[k+2]
			}
			k := 3 * (y*Width + x)
			f.hdr[k], f.hdr[k+1], f.hdr[k+2] = s.x/n, s.y/n, s.z/n
		}
	}
}

// blurLevel is one layer of the blur pyramid: premultiplied r, g, b, weight.
type blurLevel struct {
	w, h int
	px   []float32
}

// circle is the radius in px of the blur disc at 1/depth iz.
func (l *light) circle(iz float32) float32 {
	d := l.focus*iz - 1
	if iz <= 0 {
		d = -1
	}
	d = abs(d) - l.slack
	if d <= 0 {
		return 0
	}
	return min(d*l.dof, 34)
}

// depthOfField replaces out-of-focus pixels by a mix from a pyramid in which
// sharp pixels hardly count, so that a sharp edge does not bleed.
func (f *frame) depthOfField(l *light) {
	lv := make([]blurLevel, 0, 5)
	for w, h := Width/2, Height/2; len(lv) < 5; w, h = (w+1)/2, (h+1)/2 {
		lv = append(lv, blurLevel{w, h, make([]float32, 4*w*h)})
	}
	b := &lv[0]
	for y := range b.h {
		for x := range b.w {
			o := 4 * (y*b.w + x)
			for k := range 4 {
				i := (2*y+k>>1)*Width + 2*x + k&1
				wt := clamp(l.circle(f.iz[i])*0.4, 0.02, 1)
				b.px[o] += wt * f.hdr[3*i]
				b.px[o+1] += wt * f.hdr[3*i+1]
				b.px[o+2] += wt * f.hdr[3*i+2]
				b.px[o+3] += wt
			}
		}
	}
	for i := 1; i < len(lv); i++ {
		shrink(&lv[i-1], &lv[i])
	}
	for y := range Height {
		for x := range Width {
			i := y*Width + x
			c := l.circle(f.iz[i])
			if c < 0.6 {
				continue
			}
			b := math.Float32bits(c) // a straight line between powers of 2 is near enough to log2
			t := float32(b>>23) - 127 + float32(b&0x7fffff)/(1<<23) - 0.2
			t = clamp(t, 0, float32(len(lv))-1.001)
			k := int(t)
			fr := t - float32(k)
			p, q := lv[k].at(x, y, k+1), lv[k+1].at(x, y, k+2)
			m := min((c-0.6)*1.5, 1)
			for j := range 3 {
				f.hdr[3*i+j] = lerp(f.hdr[3*i+j], lerp(p[j], q[j], fr), m)
			}
		}
	}
}

// shrink halves a level with a 4 x 4 tent, so that upsampling shows no blocks.
func shrink(a, b *blurLevel) {
	wt := [4]float32{1, 3, 3, 1}
	for y := range b.h {
		for x := range b.w {
			var s [4]float32
			for j := range 4 {
				for i := range 4 {
					sx := min(max(2*x+i-1, 0), a.w-1)
					sy := min(max(2*y+j-1, 0), a.h-1)
					k := wt[i] * wt[j]
					p := a.px[4*(sy*a.w+sx):]
					s[0] += k * p[0]
					s[1] += k * p[1]
					s[2] += k * p[2]
					s[3] += k * p[3]
				}
			}
			copy(b.px[4*(y*b.w+x):], s[:])
		}
	}
}

// at samples a level bilinearly at a full-size pixel.
func (b *blurLevel) at(x, y, halvings int) [3]float32 {
	k := 1 / float32(int(1)<<halvings)
	fx := clamp((float32(x)+0.5)*k-0.5, 0, float32(b.w)-1.001)
	fy := clamp((float32(y)+0.5)*k-0.5, 0, float32(b.h)-1.001)
	ix, iy := int(fx), int(fy)
	fx -= float32(ix)
	fy -= float32(iy)
	p := b.px[4*(iy*b.w+ix):]
	q := b.px[4*((iy+1)*b.w+ix):]
	w00, w10, w01, w11 := (1-fx)*(1-fy), fx*(1-fy), (1-fx)*fy, fx*fy
	n := 1 / (w00*p[3] + w10*p[7] + w01*q[3] + w11*q[7] + 1e-9)
	return [3]float32{
		(w00*p[0] + w10*p[4] + w01*q[0] + w11*q[4]) * n,
		(w00*p[1] + w10*p[5] + w01*q[1] + w11*q[5]) * n,
		(w00*p[2] + w10*p[6] + w01*q[2] + w11*q[6]) * n,
	}
}

const curveN = 4096

// curve is the sRGB encoding of 0..2 with highlights rolled off above 0.8.
var curve = sync.OnceValue(func() []float32 {
	t := make([]float32, curveN)
	for i := range t {
		x := 2 * float64(i) / (curveN - 1)
		if x > 0.8 {
			x = 0.8 + 0.2*(1-math.Exp(-(x-0.8)/0.2))
		}
		if x <= 0.0031308 {
			x *= 12.92
		} else {
			x = 1.055*math.Pow(x, 1/2.4) - 0.055
		}
		t[i] = float32(255 * x)
	}
	return t
})

func (f *frame) encode(l *light, seed uint64) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, Width, Height))
	cv, gs := curve(), gaussTile()
	nz := l.noise
	for y := range Height {
		h := mix64(seed + uint64(y)*0x9e3779b97f4a7c15)
		off := int(h & (1<<15 - 1))
		fy := (float32(y) - Height/2) / (Width / 2)
		for x := range Width {
			i := 3 * (y*Width + x)
			v := float32(1)
			if l.vignette > 0 {
				fx := (float32(x) - Width/2) / (Width / 2)
				v = 1 - l.vignette*(fx*fx+fy*fy)
			}
			gr := nz * gs[(off+x)&(1<<15-1)]
			for c := range 3 {
				t := f.hdr[i+c] * v * ((curveN - 1) / 2.0)
				k := 0
				if t >= curveN-1 {
					k = curveN - 1
				} else if t > 0 {
					k = int(t)
				}
				s := cv[k]
				if nz > 0 {
					s += gr + 0.5*nz*gs[(off*3+x*3+c+7)&(1<<15-1)]
				}
				img.Pix[y*img.Stride+4*x+c] = uint8(clamp(s+0.5, 0, 255))
			}
			img.Pix[y*img.Stride+4*x+3] = 255
		}
	}
	return img
}
