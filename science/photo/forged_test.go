package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// bitWriter writes what bitReader reads.
type bitWriter struct {
	b []byte
	n int
}

func (w *bitWriter) bits(v uint64, n int) {
	for i := n - 1; i >= 0; i-- {
		if w.n%8 == 0 {
			w.b = append(w.b, 0)
		}
		w.b[w.n/8] |= byte(v>>i&1) << (7 - w.n%8)
		w.n++
	}
}

func (w *bitWriter) golomb(v uint64) {
	n := 0
	for v+1 >= 1<<(n+1) {
		n++
	}
	w.bits(0, n)
	w.bits(v+1, n+1)
}

// sequenceSetOf writes a sequence parameter set of the size, with as many
// sublayers, and escapes it as a coder does.
func sequenceSetOf(w, h uint64, layers int) []byte {
	b := &bitWriter{}
	b.bits(sequenceSet<<9|1, 16)
	b.bits(0, 4)
	b.bits(uint64(layers), 3)
	b.bits(1, 1)
	b.bits(1, 8) // the general profile; the rest of its 88 bits is 0
	b.bits(0, 80)
	b.bits(93, 8)
	for i := range layers {
		b.bits(uint64(i%2), 1)
		b.bits(1, 1)
	}
	if layers > 0 {
		b.bits(0, 2*(8-layers))
	}
	for i := range layers {
		if i%2 == 1 {
			b.bits(0, 88)
		}
		b.bits(90, 8)
	}
	b.golomb(0)
	b.golomb(1)
	b.golomb(w)
	b.golomb(h)
	b.bits(1, 8)
	var out []byte
	for _, x := range b.b {
		if n := len(out); x <= 3 && n >= 2 && out[n-1] == 0 && out[n-2] == 0 {
			out = append(out, 3)
		}
		out = append(out, x)
	}
	return out
}

func box(kind string, parts ...[]byte) []byte {
	body := bytes.Join(parts, nil)
	return append(append(binary.BigEndian.AppendUint32(nil, uint32(len(body)+8)), kind...), body...)
}

// forgedHEIC says w by h in its container; its configuration record holds one
// set, and another, if any, stands among the coded picture.
func forgedHEIC(w, h uint32, record, among []byte) []byte {
	be := binary.BigEndian
	ispe := box("ispe", make([]byte, 4), be.AppendUint32(be.AppendUint32(nil, w), h))
	hvcC := box("hvcC", append(bytes.Repeat([]byte{1}, 21), 0xff, 1), []byte{0x80 | sequenceSet, 0, 1}, be.AppendUint16(nil, uint16(len(record))), record)
	picture := []byte{0, 0, 0, 3, 0x26, 1, 0xaf}
	if among != nil {
		picture = append(append(be.AppendUint32(nil, uint32(len(among))), among...), picture...)
	}
	iloc := append([]byte{1, 0, 0, 0, 0x44, 0, 0, 1, 0, 1, 0, 1, 0, 0, 0, 1, 0, 0, 0, 0}, be.AppendUint32(nil, uint32(len(picture)))...)
	return append(box("ftyp", []byte("heic\x00\x00\x00\x00heic")), box("meta", make([]byte, 4), box("pitm", make([]byte, 4), []byte{0, 1}),
		box("iinf", make([]byte, 4), []byte{0, 1}, box("infe", []byte{2, 0, 0, 0, 0, 1, 0, 0}, []byte("hvc1\x00"))),
		box("iprp", box("ipco", ispe, hvcC), box("ipma", []byte{0, 0, 0, 0, 0, 0, 0, 1, 0, 1, 2, 1, 2})), box("iloc", iloc), box("idat", picture))...)
}

// The sizes that coders write are read, whatever stands before them.
func TestCodedSizes(t *testing.T) {
	for _, c := range [][2]uint64{{1, 1}, {64, 64}, {128, 64}, {512, 512}, {4032, 3024}, {8192, 4320}, {65535, 65535}, {1 << 24, 3}} {
		for layers := range 7 {
			if w, h, ok := codedSize(sequenceSetOf(c[0], c[1], layers)); !ok || w != c[0] || h != c[1] {
				t.Errorf("%v with %d sublayers is read as %d × %d, %v", c, layers, w, h, ok)
			}
		}
	}
	for _, broken := range [][]byte{{}, {66}, {66, 1, 0xff}, bytes.Repeat([]byte{0}, 300)} {
		if w, h, ok := codedSize(broken); ok {
			t.Errorf("%x is read as %d × %d", broken, w, h)
		}
	}
}

// In files of three coders (libheif's x265, an Apple phone, a Qualcomm phone)
// the coded pictures have the size of the container, but for what blocks add.
func TestCodedSizesOfRealFiles(t *testing.T) {
	names := []string{"heic/one.heic", "heic/two.heic", "camera-files/iphone_13_pro_max.HEIC", "camera-files/HMD_Nokia_8.3_5G.heif"}
	for _, name := range names {
		data := testFile(t, name)
		m := heifMeta{items: map[uint32]*heifItem{}, secondary: map[uint32]bool{}, madeOf: map[uint32][]uint32{}}
		boxes(data, func(kind string, body []byte) {
			if kind == "meta" && len(m.items) == 0 {
				boxes(body[4:], m.take)
			}
		})
		looked := 0
		for _, item := range m.items {
			w, h, coded := m.told(item)
			for _, record := range coded {
				sets, _ := parameterSets(record)
				for _, s := range sets {
					cw, ch, ok := codedSize(s)
					if !ok || cw < w || ch < h || cw > w+codedPad || ch > h+codedPad {
						t.Errorf("%s: coded as %d × %d (%v), told as %d × %d", filepath.Base(name), cw, ch, ok, w, h)
					}
					looked++
				}
			}
		}
		if looked == 0 {
			t.Errorf("%s: no coded picture was found", name)
		}
		if _, err := Read(t.Context(), data, Limits{}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// patched replaces one run of bytes, wherever it stands.
func patched(t *testing.T, file []byte, old, put []byte) []byte {
	t.Helper()
	if !bytes.Contains(file, old) || len(old) != len(put) {
		t.Fatalf("there is no %x to replace", old)
	}
	return bytes.ReplaceAll(file, old, put)
}

// whd is a width and a height as 32 bits each.
func whd(w, h uint32) []byte {
	return binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)
}

// pngSized is a PNG whose head says another size, with its checksum made right.
func pngSized(file []byte, w, h uint32) []byte {
	out := bytes.Clone(file)
	copy(out[16:], whd(w, h))
	binary.BigEndian.PutUint32(out[29:], crc32.ChecksumIEEE(out[12:29]))
	return out
}

// Files that lie about their size, in every format, are refused in a sentence,
// and whatever becomes of them takes little memory.
func TestForgedSizes(t *testing.T) {
	heicFile := testFile(t, "heic/one.heic")
	jpegFile, pngFile, webpFile := encodeJPEG(t, quarters(128, 64)), encodePNG(t, quarters(128, 64)), testFile(t, "small.webp")
	honest := forgedHEIC(128, 64, sequenceSetOf(128, 64, 0), nil)
	if _, err := Read(t.Context(), honest, Limits{}); err != nil {
		t.Fatalf("an honest container: %v", err)
	}
	sof := bytes.Index(jpegFile, []byte{0xff, 0xc0})
	jpegSized := func(w, h uint16) []byte {
		out := bytes.Clone(jpegFile)
		binary.BigEndian.PutUint16(out[sof+5:], h)
		binary.BigEndian.PutUint16(out[sof+7:], w)
		return out
	}
	twice := append(bytes.Clone(jpegFile[:sof]), append(bytes.Clone(jpegSized(60000, 60000)[sof:sof+19]), jpegFile[sof:]...)...)
	grid := bytes.Repeat([]byte{0, 1}, 300)
	for name, c := range map[string]struct {
		file []byte
		kind error // nil: any refusal, or a small picture
	}{
		"HEIC says 16 × 16 and holds 128 × 64":         {patched(t, heicFile, whd(128, 64), whd(16, 16)), ErrDamaged},
		"HEIC says 60,000 × 60,000":                    {patched(t, heicFile, whd(128, 64), whd(60000, 60000)), ErrTooLarge},
		"HEIC says 40 × 30 and holds 8192 × 8192":      {forgedHEIC(40, 30, sequenceSetOf(8192, 8192, 0), nil), ErrDamaged},
		"HEIC says 40 × 30 and holds 16384 × 16384":    {forgedHEIC(40, 30, sequenceSetOf(16384, 16384, 2), nil), ErrTooLarge},
		"HEIC tells another size amid its picture":     {forgedHEIC(40, 30, sequenceSetOf(40, 32, 0), sequenceSetOf(8192, 8192, 0)), ErrDamaged},
		"HEIC tells a huge size amid its picture":      {forgedHEIC(40, 30, sequenceSetOf(40, 32, 0), sequenceSetOf(1<<20, 1<<20, 0)), ErrTooLarge},
		"HEIC of 300 references to 1,000,000 pixels":   {bytesWithGrid(forgedHEIC(1000, 1000, sequenceSetOf(1000, 1000, 0), nil), grid), ErrTooLarge},
		"JPEG says 65,535 × 65,535":                    {jpegSized(65535, 65535), ErrTooLarge},
		"JPEG says 10,000 × 10,000 and holds 128 × 64": {jpegSized(10000, 10000), nil},
		"JPEG with two heads":                          {twice, nil},
		"PNG says 2^31-1 on a side":                    {pngSized(pngFile, 1<<31-1, 1<<31-1), ErrTooLarge},
		"PNG says 1 × 1 and holds 128 × 64":            {pngSized(pngFile, 1, 1), nil},
		"WebP claims a canvas of 16 million on a side": {append(append([]byte("RIFF\xff\xff\x00\x00WEBPVP8X\x0a\x00\x00\x00\x00\x00\x00\x00"), bytes.Repeat([]byte{0xff}, 6)...), webpFile[12:]...), ErrTooLarge},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, readErr := Read(t.Context(), c.file, Limits{})
		img, err := Upright(t.Context(), c.file, Limits{MaxPixels: 100e6})
		runtime.ReadMemStats(&after)
		if c.kind != nil && (!errors.Is(readErr, c.kind) || !errors.Is(err, c.kind)) {
			t.Errorf("%s: %v; %v, want %v", name, readErr, err, c.kind)
		}
		if err == nil && img.Bounds().Dx()*img.Bounds().Dy() > 128*64 {
			t.Errorf("%s became %v", name, img.Bounds())
		}
		if err != nil && strings.Contains(err.Error(), "runtime error") {
			t.Errorf("%s: %v", name, err)
		}
		// 10,000 × 10,000 YCbCr are 150 MB that the decoder of JPEG sets aside at once.
		most := uint64(64 << 20)
		if strings.HasPrefix(name, "JPEG says 10,000") {
			most = 200 << 20
		} else if strings.HasPrefix(name, "HEIC says 16") {
			most = 512 << 20 // the sandbox compiles its decoder, once
		}
		if took := after.TotalAlloc - before.TotalAlloc; took > most {
			t.Errorf("%s took %d MB", name, took>>20)
		}
	}
}

// bytesWithGrid adds to a forged HEIC's references that its picture is made of
// the item in parts, over and over.
func bytesWithGrid(file, parts []byte) []byte {
	iref := box("iref", make([]byte, 4), box("dimg", []byte{0, 1}, binary.BigEndian.AppendUint16(nil, uint16(len(parts)/2)), parts))
	at := bytes.Index(file, []byte("meta"))
	out := bytes.Clone(file)
	binary.BigEndian.PutUint32(out[at-4:], binary.BigEndian.Uint32(out[at-4:])+uint32(len(iref)))
	return append(out, iref...)
}

func FuzzCodedSize(f *testing.F) {
	f.Add(sequenceSetOf(4032, 3024, 0))
	f.Add(sequenceSetOf(512, 512, 3))
	f.Fuzz(func(t *testing.T, set []byte) {
		if w, h, ok := codedSize(set); ok && (w >= 1<<33 || h >= 1<<33) {
			t.Fatalf("%d × %d", w, h)
		}
		sets, width := parameterSets(set)
		_ = append(sets, setsAmong(set, width)...)
	})
}
