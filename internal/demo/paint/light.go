package paint

// light is the lighting and lens of one picture.
type light struct {
	sun      float32 // share of direct light, 0..1
	fill     v3      // direction the sky light comes from
	tint     v3      // white balance
	sunTint  v3
	gain     float32
	aoMM     float32 // reach of contact shadows
	dof      float32 // blur in px per unit of relative depth error
	slack    float32 // relative depth that stays sharp
	focus    float32 // distance in mm
	sky      func(x, y float32) v3
	noise    float32
	vignette float32
	soft     float32 // blur of the whole picture in px
	shake    v3      // motion blur in px
	haze     float32 // distance in mm at which far things fade to the sky
}

const halfW, halfH = Width / 2, Height / 2

// occlusion computes, at half size, the part of sky light (even entries) and
// of sun light (odd entries) that reaches each surface. Sky: the estimator of
// McGuire et al., "The Alchemy screen-space ambient obscurance algorithm"
// (2011), sun: percentage-closer filtering of the shadow map.
func (f *frame) occlusion(l *light) []float32 {
	out := f.scratch[:2*halfW*halfH]
	const taps = 6
	var ox, oy [4 * taps]float32
	for r := range 4 {
		for i := range taps {
			a := 2.39996*float32(i) + float32(r)*1.571/2
			q := (float32(i) + 0.6 + 0.25*float32(r)) / taps
			ox[r*taps+i], oy[r*taps+i] = q*cos(a), q*sin(a)
		}
	}
	ks := shadowN / 2 / f.lhalf
	cam := &f.cam
	inv := 1 / cam.f
	for y := range halfH {
		for x := range halfW {
			o := 2 * (y*halfW + x)
			px, py := 2*x, 2*y
			iz := f.iz[py*Width+px]
			out[o], out[o+1] = 1, 1
			if iz <= 0 {
				continue
			}
			g := f.g[py*Width+px]
			z := 1 / iz
			wn := v3{float32(g.nx), float32(g.ny), float32(g.nz)}.mul(1.0 / 127)
			n := v3{wn.dot(cam.right), -wn.dot(cam.up), wn.dot(cam.fwd)} // x right, y down, z away
			p := v3{float32(px-Width/2) * inv * z, float32(py-Height/2) * inv * z, z}
			rad := clamp(l.aoMM*cam.f*iz, 4, 90)
			rot := ((x & 1) + 2*(y&1)) * taps
			var s float32
			for i := rot; i < rot+taps; i++ {
				qx, qy := px+int(ox[i]*rad), py+int(oy[i]*rad)
				if uint(qx) >= Width || uint(qy) >= Height {
					continue
				}
				iq := f.iz[qy*Width+qx]
				if iq <= 0 {
					continue
				}
				zq := 1 / iq
				v := v3{float32(qx-Width/2)*inv*zq - p.x, float32(qy-Height/2)*inv*zq - p.y, zq - z}
				d := v.dot(n) - 0.04*l.aoMM
				if d > 0 {
					s += d / (v.dot(v) + 0.06*l.aoMM*l.aoMM) * l.aoMM
				}
			}
			out[o] = 1 / (1 + 1.3*s/taps)
			if f.useShadow {
				out[o+1] = f.lit(p, wn, rot, ks, ox[:], oy[:])
			}
		}
	}
	return out
}

// lit is the share of shadow-map taps that see the sun from camera point p.
func (f *frame) lit(p, wn v3, rot int, ks float32, ox, oy []float32) float32 {
	cam := &f.cam
	w := cam.pos.add(cam.right.mul(p.x)).add(cam.up.mul(-p.y)).add(cam.fwd.mul(p.z))
	d := w.sub(f.lc)
	h := d.dot(f.sun) + f.lhalf*0.012
	d = d.add(wn.mul(f.lhalf * 0.008))
	cx, cy := shadowN/2+ks*d.dot(f.lr), shadowN/2+ks*d.dot(f.lu)
	if cx < 8 || cy < 8 || cx > shadowN-9 || cy > shadowN-9 {
		return 1
	}
	// The nearest occluder's height sets the width of the half-shadow.
	far := clamp((f.sm[int(cy)*shadowN+int(cx)]-h)*ks*0.12, 2.5, 7)
	var s float32
	for i := rot; i < rot+6; i++ {
		k := int(cy+oy[i]*far)*shadowN + int(cx+ox[i]*far)
		if f.sm[k] <= h {
			s++
		}
	}
	return s / 6
}

// soften averages occlusion over neighbours at about the same depth.
func (f *frame) soften(in []float32) []float32 {
	out := f.scratch[2*halfW*halfH : 4*halfW*halfH]
	for y := range halfH {
		for x := range halfW {
			o := y*halfW + x
			iz := f.iz[2*y*Width+2*x]
			if iz <= 0 || x == 0 || y == 0 || x == halfW-1 || y == halfH-1 {
				out[2*o], out[2*o+1] = in[2*o], in[2*o+1]
				continue
			}
			a, b, n := 2*in[2*o], 2*in[2*o+1], float32(2)
			lo, hi := iz*0.985, iz*1.015
			for _, dxy := range [8][2]int{{-1, -1}, {0, -1}, {1, -1}, {-1, 0}, {1, 0}, {-1, 1}, {0, 1}, {1, 1}} {
				k := (y+dxy[1])*halfW + x + dxy[0]
				if q := f.iz[2*(y+dxy[1])*Width+2*(x+dxy[0])]; q > lo && q < hi {
					a += in[2*k]
					b += in[2*k+1]
					n++
				}
			}
			out[2*o], out[2*o+1] = a/n, b/n
		}
	}
	return out
}

// gloss strength and its sharpness (number of squarings) by surface kind.
var gloss = [matKinds]struct {
	k     float32
	sharp int
	grain float32
	wrap  float32
	bleed float32 // light let through from behind
}{
	matMatt:   {0.02, 3, 0.10, 0.15, 0.1},
	matSatin:  {0.10, 4, 0.06, 0.1, 0.1},
	matWet:    {0.42, 6, 0.03, 0.1, 0.1},
	matLeaf:   {0.07, 3, 0.16, 0.2, 0.3},
	matGrass:  {0.06, 4, 0.05, 0.3, 0.5},
	matWood:   {0.03, 3, 0.25, 0.1, 0},
	matCard:   {0, 3, 0, 0.1, 0},
	matJelly:  {0.30, 5, 0.03, 0.5, 0.4},
	matGround: {0.03, 3, 0.30, 0.2, 0},
}

// shade turns the first pass into linear light in f.hdr.
func (f *frame) shade(l *light, card *cardPose) {
	occ := f.soften(f.occlusion(l))
	tile := grainTile()
	cam := &f.cam
	fill := l.fill.unit()
	inv := 1 / cam.f
	zs := l.sun * max(f.sun.dot(fill), 0.45)
	sky := 1 - zs
	for y := range Height {
		for x := range Width {
			i := y*Width + x
			iz := f.iz[i]
			g := f.g[i]
			var c v3
			if iz <= 0 {
				c = l.sky(float32(x)/Width, float32(y)/Height)
			} else {
				o := 2 * ((y>>1)*halfW + x>>1)
				ao, sh := occ[o], occ[o+1]
				n := v3{float32(g.nx), float32(g.ny), float32(g.nz)}
				n = n.mul(1.0 / 127)
				if mt := &gloss[g.mat&kindOf]; mt.k > 0.05 {
					n = n.mul(1 / sqrt(n.dot(n)+1e-6))
				}
				z := 1 / iz
				a := v3{float32(g.r), float32(g.g), float32(g.b)}
				kind := g.mat & kindOf
				mt := &gloss[kind]
				if kind == matCard {
					a = card.colour(cam.pos.add(cam.ray(float32(x), float32(y)).mul(z)), z*inv)
				} else {
					k := (1 + mt.grain*tile[(y*11>>4)&(tileN-1)*tileN+(x*11>>4)&(tileN-1)]) / 65535
					a.x, a.y, a.z = a.x*k, a.y*k, a.z*k
				}
				if card != nil && card.shade > 0 {
					sh *= card.shaded(cam.pos.add(cam.ray(float32(x), float32(y)).mul(z)))
				}
				nl := n.dot(f.sun)
				dif := (nl + mt.wrap) / (1 + mt.wrap)
				if dif < 0 {
					dif = -dif * mt.bleed
				}
				up := 0.5 + 0.5*n.dot(fill)
				sunE := l.sun * dif * sh
				skyE := sky * (up*ao + 0.16*(1-up)*ao)
				e := v3{sunE*l.sunTint.x + skyE, sunE*l.sunTint.y + skyE, sunE*l.sunTint.z + skyE}
				// Light between close surfaces picks up their colour.
				inter := 0.25 * (1 - ao) * skyE
				c = v3{a.x * (e.x + inter*a.x*2), a.y * (e.y + inter*a.y*2), a.z * (e.z + inter*a.z*2)}
				if mt.k > 0.05 {
					v := cam.ray(float32(x), float32(y))
					v = v.mul(-1 / sqrt(v.dot(v)))
					hv := f.sun.add(v)
					nh := n.dot(hv) / sqrt(hv.dot(hv))
					hs := fill.add(v)
					ns := n.dot(hs) / sqrt(hs.dot(hs))
					s := power(nh, mt.sharp)*sh*(0.25+l.sun) + 0.35*ao*power(ns, mt.sharp-1)
					s *= mt.k
					c = c.add(v3{s, s, s})
				}
				if l.haze > 0 && z > 2*l.focus {
					c = l.sky(float32(x)/Width, float32(y)/Height).mix(c, 1/(1+(z-2*l.focus)/l.haze))
				}
			}
			f.hdr[3*i] = c.x * l.gain * l.tint.x
			f.hdr[3*i+1] = c.y * l.gain * l.tint.y
			f.hdr[3*i+2] = c.z * l.gain * l.tint.z
		}
	}
}

// power raises x, clamped to 0..1, to 2^k.
func power(x float32, k int) float32 {
	if x <= 0 {
		return 0
	}
	for range k {
		x *= x
	}
	return x
}
