package paint

import "strings"

// individual is one fruitbody: its measurements and everything that makes it
// itself. Lengths in mm; the local frame has z up along the stem and its
// origin at the soil line or point of attachment.
type individual struct {
	find     *Find
	kind     modelKind
	under    string  // gills, pores, folds, spines
	r        float32 // half the greatest width
	h        float32 // height of a stemless body, or of the cap
	stemL    float32
	stemR    float32
	lean     v3 // where the cap's centre stands relative to the base (x, y)
	lobeA    [6]float32
	lobeP    [6]float32
	norm     float32
	table    []float32 // outline at equal angles
	nickAt   float32   // angle, width and depth of a bite in the rim
	nickW    float32
	nickD    float32
	dome     float32 // exponent of the cap's profile
	umbo     float32
	dip      float32
	lift     float32
	wave     float32
	waveK    float32
	bite     [3]v3 // places (x, y in cap radii, z = size) eaten by slugs
	bites    int
	blot     [4]v3 // stained places
	blots    int
	blotTint float32
	tone     float32 // the individual's own lightness
	col      v3
	second   v3 // the other colour of zones, tips, heads
	flesh    v3
	gill     v3
	stemCol  v3
	gills    int
	zones    float32 // rings over the radius, 0 = none
	zonePh   float32
	warts    float32 // 0..1 cover of loose white patches
	scales   float32 // small darker scales in the middle
	fade     float32 // paler centre
	fibres   float32
	split    float32 // number of radial splits at the rim
	ring     float32 // position of the ring on the stem, 0 = none
	volva    bool
	bulb     float32
	leafOn   bool
	leafX    float32
	leafY    float32
	leafRot  float32
	mat      uint8
	seed     uint32
	hero     bool
}

type modelKind int

const (
	agaric modelKind = iota
	shelf
	ball
	coralTuft
	clubs
	cupDisc
	nest
	earFan
	stinker
	icicles
	stroma
	nailDisc
	rosetteLeaf
	cushion
)

// modelOf maps the character states of form to the nearest model and to what
// grows beneath.
func modelOf(f *Find) (modelKind, string) {
	switch f.Form {
	case "bolete", "pored_stalked":
		return agaric, "pores"
	case "chanterelle":
		return agaric, "folds"
	case "spined_stalked":
		return agaric, "spines"
	case "saddle_brain", "honeycomb":
		return agaric, "smooth"
	case "gilled_shell":
		return shelf, "gills"
	case "bracket", "half_bracket":
		return shelf, "pores"
	case "crust", "slime_veins", "slime_creeping", "lichen_crust", "lichen_powder",
		"lichen_leaf", "lichen_lobed_crust", "lichen_scale", "lichen_jelly", "plant_parasite":
		return rosetteLeaf, "smooth"
	case "lichen_shrub", "lichen_beard", "lichen_cup_stalk", "coral", "rosette":
		return coralTuft, "smooth"
	case "spined_hanging":
		return icicles, "spines"
	case "club":
		return clubs, "smooth"
	case "cup":
		return cupDisc, "smooth"
	case "hard_stroma":
		if strings.Contains(f.ColourWords, "disc") {
			return nailDisc, "smooth"
		}
		return stroma, "smooth"
	case "puffball", "earthball", "earthstar", "stalked_puffball", "truffle":
		return ball, "smooth"
	case "stinkhorn":
		return stinker, "smooth"
	case "birds_nest":
		return nest, "smooth"
	case "jelly":
		return earFan, "smooth"
	case "slime_stalked", "slime_cushion", "slime_packed":
		return cushion, "smooth"
	}
	return agaric, "gills"
}

// grow makes fruitbody number n of a find; 0 is the one that is measured.
func grow(f *Find, n int) *individual {
	c := stream(f.Seed, "body", n)
	b := &individual{find: f, seed: uint32(c.u64()), hero: n == 0}
	b.kind, b.under = modelOf(f)
	size := float32(1)
	if n > 0 {
		size = 0.55 + 0.5*c.f()
	}
	b.r = size * float32(orElse(f.WidthMM, 40)) / 2
	b.h = size * float32(orElse(f.HeightMM, f.WidthMM*0.6))
	b.stemL = size * float32(orElse(f.StemLengthMM, f.WidthMM*0.9))
	b.stemR = size * float32(orElse(f.StemWidthMM, f.WidthMM*0.14)) / 2
	b.outlineTraits(c)
	b.colours(c, f, n)
	b.capTraits(c, f)
	b.speciesTraits(c, f)
	return b
}

func orElse(v, d float64) float64 {
	if v > 0 {
		return v
	}
	if d > 0 {
		return d
	}
	return 20
}

func (b *individual) outlineTraits(c *chance) {
	strength := c.in(0.4, 1.6)
	for k := range b.lobeA {
		b.lobeA[k] = c.sym(0.045) * strength / (0.5 + 0.35*float32(k))
		b.lobeP[k] = c.in(0, 2*pi)
	}
	b.nickAt = c.in(0, 2*pi)
	b.nickW = c.in(0.08, 0.22)
	if c.yes(0.6) {
		b.nickD = c.in(0.06, 0.22)
	}
	b.bites = c.n(4)
	for i := range b.bite {
		a, d := c.in(0, 2*pi), c.in(0.2, 0.85)
		b.bite[i] = v3{d * cos(a), d * sin(a), c.in(0.04, 0.13)}
	}
	b.blots = c.n(5)
	for i := range b.blot {
		a, d := c.in(0, 2*pi), c.in(0, 0.9)
		b.blot[i] = v3{d * cos(a), d * sin(a), c.in(0.08, 0.3)}
	}
	b.blotTint = c.in(0.6, 0.85)
	if c.yes(0.3) {
		b.blotTint = c.in(1.1, 1.25)
	}
	// The greatest width, from edge to edge and not through the middle, is made
	// exactly 2 r.
	b.norm = 1
	b.table = make([]float32, outlineN+2)
	for i := range b.table {
		b.table[i] = b.traced(2 * pi * float32(i) / outlineN)
	}
	b.norm = 2 / b.widest()
	for i := range b.table {
		b.table[i] *= b.norm
	}
}

// widest is the greatest distance between two places of the outline, in cap
// radii.
func (b *individual) widest() float32 {
	var at [outlineN / 2]v3
	var most float32
	for i := range at {
		a, r := 2*pi*float32(2*i)/outlineN, b.table[2*i]
		at[i] = v3{r * cos(a), r * sin(a), 0}
		for _, q := range at[:i] {
			d := at[i].sub(q)
			most = max(most, d.dot(d))
		}
	}
	return sqrt(most)
}

// RimWaveMM is by how many mm the rim of a find's measured cap rises and falls
// about its middle height: 0 for finds that are no caps.
func RimWaveMM(f Find) float64 {
	b := grow(&f, 0)
	if b.kind != agaric {
		return 0
	}
	return float64(b.wave * b.r)
}

const outlineN = 1024

// outline is the rim's distance from the centre at an angle, in cap radii.
func (b *individual) outline(a float32) float32 {
	t := a * (1 / (2 * pi))
	t = (t - floor(t)) * outlineN
	i := int(t)
	return lerp(b.table[i], b.table[i+1], t-float32(i))
}

// traced works the outline out from its lobes and its bite.
func (b *individual) traced(a float32) float32 {
	s := float32(1)
	for k, amp := range b.lobeA {
		s += amp * cos(float32(k+1)*a+b.lobeP[k])
	}
	if b.nickD > 0 {
		d := a - b.nickAt
		d -= 2 * pi * floor(d/(2*pi)+0.5)
		t := abs(d) / b.nickW
		if t < 1 {
			s -= b.nickD * sqrt(1-t*t) * (0.85 + 0.3*noise(a*40, 0, b.seed))
		}
	}
	return s * b.norm
}

func (b *individual) colours(c *chance, f *Find, n int) {
	dl, da, db := float64(c.sym(1.5)), float64(c.sym(1.5)), float64(c.sym(1.5))
	if n > 0 {
		dl, da, db = dl*3, da*2, db*2
	}
	l := min(max(f.L+dl, 4), 96)
	b.col = lab(l, f.A+da, f.B+db)
	b.second = lab(min(l+16, 95), f.A*0.6, f.B*0.8)
	b.flesh = lab(min(max(l+30, 80), 93), f.A*0.12, 8+f.B*0.12)
	b.stemCol = lab(min(max(l+14, 62), 90), f.A*0.3, 6+f.B*0.35)
	b.gill = b.flesh
	if f.A*f.A+f.B*f.B > 30*30 && f.L < 75 || f.A > 12 && f.B < 0 { // strong colours run into stem and gills
		b.gill = b.flesh.mix(b.col, 0.35)
		b.stemCol = b.stemCol.mix(b.col, 0.25)
	}
	ripe := map[string]float32{"button": 0.1, "opening": 0.4, "mature": 0.75, "old": 1, "rotten": 1}[f.Ripeness]
	if print, ok := printColours[f.SporePrint]; ok {
		b.gill = b.gill.mix(print, 0.75*ripe)
	}
	b.tone = 1
	b.mat = matSatin
}

// Colours of spore masses, sRGB estimates from memory.
var printColours = map[string]v3{
	"purple_brown": rgb(0x4a3032), "black": rgb(0x2a2526), "rust": rgb(0x9a5a28),
	"brown": rgb(0x6e4a2c), "olive_brown": rgb(0x7d7330), "pink": rgb(0xcf9a8c),
	"cream": rgb(0xe9d9ae), "yellow": rgb(0xdfbd62),
}

func (b *individual) capTraits(c *chance, f *Find) {
	b.dome, b.wave, b.waveK = c.in(1.9, 2.6), c.in(0.02, 0.06), float32(2+c.n(4))
	rel := c.in(0.30, 0.42)
	switch f.Ripeness {
	case "button":
		b.dome, rel, b.wave = c.in(2.0, 2.4), c.in(0.62, 0.8), 0.01
	case "opening":
		b.dome, rel = c.in(2.1, 2.6), c.in(0.42, 0.55)
	case "old", "rotten":
		b.dome, rel, b.lift, b.wave = c.in(2.2, 3), c.in(0.16, 0.26), c.in(0.05, 0.16), c.in(0.06, 0.14)
		b.split = float32(1 + c.n(5))
		b.tone = c.in(0.82, 0.95)
	default:
		if c.yes(0.3) {
			b.dip = c.in(0.04, 0.12)
		}
	}
	if b.kind == agaric {
		b.h = rel * b.r * 1.6
	}
	if c.yes(0.35) {
		b.umbo = c.in(0.05, 0.14)
	}
	tilt := c.in(0, 0.26)
	dir := c.in(0, 2*pi)
	b.lean = v3{tilt * b.stemL * cos(dir), tilt * b.stemL * sin(dir), 0}
	b.fibres = c.in(0.05, 0.2)
	b.gills = int(clamp(2.2*sqrt(b.r)*c.in(8, 11), 40, 130))
	b.zonePh = c.in(0, 7)
	b.leafOn = c.yes(0.3) && b.r > 14
	a, d := c.in(0, 2*pi), c.in(0.2, 0.6)
	b.leafX, b.leafY, b.leafRot = d*cos(a), d*sin(a), c.in(0, 2*pi)
}

// speciesTraits reads the species' colour words; what they leave open follows
// from the words too, so that all finds of a species share it.
func (b *individual) speciesTraits(c *chance, f *Find) {
	w := f.ColourWords
	var h uint64
	for i := range len(w) {
		h = mix64(h ^ uint64(w[i]))
	}
	sp := stream(h, f.Form)
	has := func(s string) bool { return strings.Contains(w, s) }
	white := f.SporePrint == "white" && f.WidthMM > 35
	switch {
	case has("warts"):
		b.warts, b.ring, b.bulb = c.in(0.45, 0.85), 0.74, 0.5
		b.gill, b.stemCol = rgb(0xf3eedd), rgb(0xf0ead8)
	case has("pink flush"), has("lemon"):
		b.warts, b.ring, b.bulb = c.in(0.2, 0.5), 0.72, 0.6
		b.second, b.gill = rgb(0xd8c9b0), rgb(0xf1ecdc)
	case has("olive green"):
		b.ring, b.volva, b.bulb = 0.75, true, 0.4
		b.gill, b.fibres = rgb(0xf3f0e4), 0.3
	case has("honey"):
		b.ring, b.scales = 0.8, 0.6
		if has("fading") {
			b.scales, b.fade = 0, c.in(0.1, 0.5)
		}
	case has("two-coloured"):
		b.fade, b.ring = c.in(0.5, 0.9), 0.75
	case f.SporePrint == "purple_brown" && has("white"):
		b.ring = 0.7
		if has("bruising") {
			b.blots, b.second = 3, rgb(0xe0c22a)
		}
	case white && sp.yes(0.2):
		b.ring = 0.72
	}
	if has("zone") {
		b.zones = c.in(4, 8)
	}
	if has("fading") || has("drying") {
		b.fade = max(b.fade, c.in(0, 0.6))
	}
	if has("slimy") || has("scarlet") {
		b.mat = matWet
	}
	if has("velvet") || has("hoary") || has("buff") || has("zoned") {
		b.mat = matMatt
	}
	if has("rose pink") {
		b.umbo, b.dome, b.split = 0.3, 1.3, float32(2+c.n(4))
	}
	if has("trumpet") || f.Form == "chanterelle" {
		b.dip, b.lift, b.wave, b.mat = c.in(0.3, 0.45), 0.1, c.in(0.1, 0.2), matMatt
	}
	if f.Form == "bolete" {
		b.bulb, b.umbo, b.gill = 0.35, 0, rgb(0xd9cf8f).mix(rgb(0x9a9440), 0.7*c.f())
	}
	if f.Form == "spined_stalked" {
		b.gill, b.wave, b.mat = b.col.mix(b.flesh, 0.3), c.in(0.06, 0.14), matMatt
	}
}
