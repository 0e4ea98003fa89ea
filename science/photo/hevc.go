package photo

import "fmt"

// A HEIC tells the size of its picture more than once: in the container, and in
// the coded pictures themselves, by which the decoder sets memory aside. Here
// the second is read (ITU-T H.265, clauses 7.3.1 to 7.3.3; the configuration
// record by ISO/IEC 14496-15, clause 8.3.3; grids and overlays by ISO/IEC
// 23008-12, clauses 6.6.2.2 and 6.6.2.3) and must fit the first.

// codedPad is how much larger on a side a coded picture may be than what is
// shown of it: coding blocks have 64 pixels at most.
const codedPad = 64

// checkCoded returns an error where the file holds pictures larger than it
// says, or than the limit.
func (m *heifMeta) checkCoded(data []byte, limit int64) error {
	// Items may share their pieces; to read one piece for a thousand items
	// would be a bomb of its own.
	left := 2 * len(data)
	for id, item := range m.items {
		w, h, coded := m.told(item)
		if err := m.checkParts(id, limit); err != nil {
			return err
		}
		if tw, th, ok := m.derived(item, data); ok {
			if err := fits(tw, th, w, h, limit); err != nil {
				return err
			}
		}
		for _, record := range coded {
			sets, width := parameterSets(record)
			content := m.pieces(item, data)
			if left -= len(content); left < 0 {
				return damaged("its pictures lie upon each other")
			}
			sets = append(sets, setsAmong(content, width)...)
			if width != 4 { // decoders have been seen to take four for granted
				sets = append(sets, setsAmong(content, 4)...)
			}
			for _, s := range sets {
				if cw, ch, ok := codedSize(s); ok {
					if err := fits(cw, ch, w, h, limit); err != nil {
						return err
					}
				}
			}
		}
	}
	return nil
}

// checkParts bounds what a grid or overlay is made of: a thousand references to
// one large picture would be decoded a thousand times, and the decoder can't be
// interrupted.
func (m *heifMeta) checkParts(id uint32, limit int64) error {
	total := uint64(0)
	for _, part := range m.madeOf[id] {
		if item := m.items[part]; item != nil {
			w, h, _ := m.told(item)
			total += min(w, 1<<20) * min(h, 1<<20)
		}
		if total > uint64(limit) {
			return say(ErrTooLarge, "the picture is put together from over %d million pixels, the most taken: save it smaller", limit/1e6)
		}
	}
	return nil
}

// fits refuses a coded size beyond the limit, or beyond what the container
// tells (0 by 0 where it tells none).
func fits(cw, ch, w, h uint64, limit int64) error {
	if cw >= 1<<30 || ch >= 1<<30 || int64(cw*ch) > limit {
		return say(ErrTooLarge, "the file holds a picture of %d × %d pixels, the most taken is %d million: save it smaller", cw, ch, limit/1e6)
	}
	if w > 0 && h > 0 && (cw > w+codedPad || ch > h+codedPad) {
		return damaged(fmt.Sprintf("it says that its picture has %d × %d pixels, and holds one of %d × %d", w, h, cw, ch))
	}
	return nil
}

// told returns the size that the container tells of an item, and the item's
// HEVC configuration records.
func (m *heifMeta) told(item *heifItem) (w, h uint64, coded [][]byte) {
	for _, i := range item.properties {
		if i < 1 || i > len(m.properties) {
			continue
		}
		switch p := m.properties[i-1]; p.kind {
		case "ispe":
			c := cursor{b: p.body}
			c.full()
			w, h = c.uint(4), c.uint(4)
		case "hvcC":
			coded = append(coded, p.body)
		}
	}
	return w, h, coded
}

// derived returns the size that a grid or an overlay gives itself.
func (m *heifMeta) derived(item *heifItem, data []byte) (w, h uint64, ok bool) {
	if item.kind != "grid" && item.kind != "iovl" {
		return 0, 0, false
	}
	c := cursor{b: m.content(item, data)}
	c.uint(1)
	wide := c.uint(1)&1 != 0
	if item.kind == "grid" {
		c.uint(2)
	} else {
		c.uint(8)
	}
	bytes := 2
	if wide {
		bytes = 4
	}
	w, h = c.uint(bytes), c.uint(bytes)
	return w, h, !c.done
}

// pieces joins the pieces of an item, as far as they are in the file.
func (m *heifMeta) pieces(item *heifItem, data []byte) []byte {
	from := data
	if item.inIdat {
		from = m.idat
	}
	var content []byte
	for _, e := range item.extents {
		n := uint64(len(from))
		if e.offset > n || e.length > n-e.offset || len(content) > len(from) {
			break
		}
		piece := from[e.offset : e.offset+e.length]
		if content == nil {
			content = piece[:len(piece):len(piece)]
			continue
		}
		content = append(content, piece...)
	}
	return content
}

// sequenceSet is the type of the NAL unit that tells the size.
const sequenceSet = 33

// parameterSets returns the sequence parameter sets of a configuration record,
// and how many bytes give the length of a NAL unit in the pictures.
func parameterSets(record []byte) (sets [][]byte, lengthBytes int) {
	if len(record) < 23 {
		return nil, 4
	}
	lengthBytes = int(record[21]&3) + 1
	c := cursor{b: record[23:]}
	for range record[22] {
		kind := c.uint(1) & 63
		for range c.uint(2) {
			n := int(c.uint(2))
			if c.done || n > len(c.b) {
				return sets, lengthBytes
			}
			if kind == sequenceSet {
				sets = append(sets, c.b[:n])
			}
			c.b = c.b[n:]
		}
	}
	return sets, lengthBytes
}

// setsAmong returns the sequence parameter sets that stand among the coded
// pictures themselves, where they count as well.
func setsAmong(content []byte, lengthBytes int) (sets [][]byte) {
	c := cursor{b: content}
	for {
		n := c.uint(lengthBytes)
		if c.done || n > uint64(len(c.b)) {
			return sets
		}
		if n > 2 && c.b[0]>>1&63 == sequenceSet {
			sets = append(sets, c.b[:n])
		}
		c.b = c.b[n:]
	}
}

// codedSize returns the size that a sequence parameter set gives.
func codedSize(set []byte) (w, h uint64, ok bool) {
	// What matters stands in the first hundred bytes or so.
	b := bitReader{b: unescaped(set[:min(len(set), 256)])}
	b.skip(16 + 4) // head of the unit, identifier of the video parameter set
	layers := b.bits(3)
	b.skip(1 + 88 + 8)
	var profiles, levels [8]bool
	for i := range layers {
		profiles[i], levels[i] = b.bits(1) == 1, b.bits(1) == 1
	}
	if layers > 0 {
		b.skip(2 * int(8-layers))
	}
	for i := range layers {
		if profiles[i] {
			b.skip(88)
		}
		if levels[i] {
			b.skip(8)
		}
	}
	b.golomb() // identifier of the set
	if b.golomb() == 3 {
		b.skip(1)
	}
	w, h = b.golomb(), b.golomb()
	return w, h, !b.done
}

// unescaped takes out the bytes that keep a NAL unit from looking like a start
// code (clause 7.4.2).
func unescaped(b []byte) []byte {
	out := make([]byte, 0, len(b))
	for i, x := range b {
		if x == 3 && i >= 2 && b[i-1] == 0 && b[i-2] == 0 {
			continue
		}
		out = append(out, x)
	}
	return out
}

// bitReader reads bits; past the end it gives zeros and done is true.
type bitReader struct {
	b    []byte
	at   int
	done bool
}

func (r *bitReader) skip(n int) { r.at += n }

func (r *bitReader) bits(n int) (v uint64) {
	for range n {
		if r.at >= 8*len(r.b) {
			r.done = true
			return v << 1
		}
		v = v<<1 | uint64(r.b[r.at/8]>>(7-r.at%8)&1)
		r.at++
	}
	return v
}

// golomb reads an Exp-Golomb number (clause 9.2); one of more than 32 bits is
// none.
func (r *bitReader) golomb() uint64 {
	zeros := 0
	for r.bits(1) == 0 {
		if zeros++; zeros > 32 || r.done {
			r.done = true
			return 0
		}
	}
	return 1<<zeros - 1 + r.bits(zeros)
}
