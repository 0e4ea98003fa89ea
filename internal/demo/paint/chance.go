package paint

import "sync"

// chance is a small seeded generator (splitmix64, Steele, Lea and Flood 2014):
// every stream is derived from the find's seed, so views agree.
type chance struct{ s uint64 }

func mix64(z uint64) uint64 {
	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9
	z = (z ^ (z >> 27)) * 0x94d049bb133111eb
	return z ^ (z >> 31)
}

// stream opens an independent generator for one purpose of one seed.
func stream(seed uint64, purpose string, n ...int) *chance {
	h := seed ^ 0x9e3779b97f4a7c15
	for i := 0; i < len(purpose); i++ {
		h = mix64(h ^ uint64(purpose[i])<<1)
	}
	for _, k := range n {
		h = mix64(h + uint64(int64(k))*0x9e3779b97f4a7c15 + 1)
	}
	return &chance{mix64(h)}
}

func (c *chance) u64() uint64 {
	c.s += 0x9e3779b97f4a7c15
	return mix64(c.s)
}

// f gives a number in [0, 1).
func (c *chance) f() float32 { return float32(c.u64()>>40) / (1 << 24) }

func (c *chance) in(lo, hi float32) float32 { return lo + (hi-lo)*c.f() }
func (c *chance) n(n int) int               { return int(c.u64() % uint64(n)) }
func (c *chance) yes(p float32) bool        { return c.f() < p }

// sym gives a number in (-k, k) with more weight near 0.
func (c *chance) sym(k float32) float32 { return k * (c.f() + c.f() - 1) }

func hash2(x, y int32, seed uint32) uint32 {
	h := uint32(x)*0x85ebca6b ^ uint32(y)*0xc2b2ae35 ^ seed*0x27d4eb2f
	h ^= h >> 15
	h *= 0x2c1b3c6d
	h ^= h >> 12
	h *= 0x297a2d39
	return h ^ h>>15
}

func hashF(x, y int32, seed uint32) float32 {
	return float32(hash2(x, y, seed)>>8) / (1 << 24)
}

func ifloor(x float32) int32 {
	i := int32(x)
	if float32(i) > x {
		i--
	}
	return i
}

// noise is value noise in the plane, 0..1, lattice 1.
func noise(x, y float32, seed uint32) float32 {
	ix, iy := ifloor(x), ifloor(y)
	fx, fy := x-float32(ix), y-float32(iy)
	fx, fy = fx*fx*(3-2*fx), fy*fy*(3-2*fy)
	a, b := hashF(ix, iy, seed), hashF(ix+1, iy, seed)
	c, d := hashF(ix, iy+1, seed), hashF(ix+1, iy+1, seed)
	return lerp(lerp(a, b, fx), lerp(c, d, fx), fy)
}

// fbm sums octaves of noise, 0..1.
func fbm(x, y float32, oct int, seed uint32) float32 {
	var s, w float32
	a := float32(1)
	for i := 0; i < oct; i++ {
		s += a * noise(x, y, seed+uint32(i)*101)
		w += a
		a *= 0.5
		x, y = x*2.03+17.1, y*2.03-9.7
	}
	return s / w
}

// cells is the distance to the nearest of scattered points (lattice 1), and
// that point's own random number: for scales, pores, cracks.
func cells(x, y float32, seed uint32) (d, second, id float32) {
	ix, iy := ifloor(x), ifloor(y)
	d, second = 9, 9
	for j := iy - 1; j <= iy+1; j++ {
		for i := ix - 1; i <= ix+1; i++ {
			h := hash2(i, j, seed)
			dx := float32(i) + 0.15 + 0.7*float32(h&1023)/1023 - x
			dy := float32(j) + 0.15 + 0.7*float32(h>>10&1023)/1023 - y
			e := dx*dx + dy*dy
			if e < d {
				d, second, id = e, d, float32(h>>20)/4096
			} else if e < second {
				second = e
			}
		}
	}
	return sqrt(d), sqrt(second), id
}

const tileN = 256

// grainTile is a repeating fine texture, mean 0, about -1..1, used per pixel.
var grainTile = sync.OnceValue(func() []float32 {
	t := make([]float32, tileN*tileN)
	wrap := func(x, y, per int32, seed uint32) float32 {
		return hashF((x%per+per)%per, (y%per+per)%per, seed)
	}
	amp, per := float32(1), int32(32)
	for o := uint32(0); o < 4; o++ {
		step := float32(tileN) / float32(per)
		for y := range tileN {
			for x := range tileN {
				fx, fy := float32(x)/step, float32(y)/step
				ix, iy := ifloor(fx), ifloor(fy)
				fx, fy = fx-float32(ix), fy-float32(iy)
				fx, fy = fx*fx*(3-2*fx), fy*fy*(3-2*fy)
				a := lerp(wrap(ix, iy, per, o), wrap(ix+1, iy, per, o), fx)
				b := lerp(wrap(ix, iy+1, per, o), wrap(ix+1, iy+1, per, o), fx)
				t[y*tileN+x] += amp * (lerp(a, b, fy) - 0.5)
			}
		}
		amp *= 0.8
		per *= 2
	}
	return t
})

// gaussTile holds normal deviates for the sensor noise.
var gaussTile = sync.OnceValue(func() []float32 {
	c := stream(4711, "sensor")
	t := make([]float32, 1<<15)
	for i := range t {
		var s float32
		for range 12 {
			s += c.f()
		}
		t[i] = s - 6
	}
	return t
})
