package photo

import (
	"encoding/binary"
	"slices"
)

// The reader for HEIF (ISO/IEC 23008-12) goes only through the boxes that name
// the primary picture, its size, turn and colours, and where EXIF lies.

// boxes calls take for each box in b; it stops quietly where they make no sense.
// rest is the part of the last box that is missing from b, in bytes.
func boxes(b []byte, take func(kind string, body []byte)) (missing int64) {
	for len(b) >= 8 {
		size, header := int64(binary.BigEndian.Uint32(b)), int64(8)
		switch size {
		case 0:
			size = int64(len(b))
		case 1:
			if len(b) < 16 {
				return 16 - int64(len(b))
			}
			size, header = int64(binary.BigEndian.Uint64(b[8:])), 16
		}
		if size < header {
			return 0
		}
		if size > int64(len(b)) {
			return size - int64(len(b))
		}
		take(string(b[4:8]), b[header:size])
		b = b[size:]
	}
	return 0
}

// cursor reads numbers; past the end it gives zeros and done is true.
type cursor struct {
	b    []byte
	done bool
}

func (c *cursor) uint(bytes int) uint64 {
	if bytes > len(c.b) {
		c.done, c.b = true, nil
		return 0
	}
	var v uint64
	for _, x := range c.b[:bytes] {
		v = v<<8 | uint64(x)
	}
	c.b = c.b[bytes:]
	return v
}

// full reads the version and flags of a full box.
func (c *cursor) full() (version uint64, flags uint64) {
	v := c.uint(4)
	return v >> 24, v & 0xffffff
}

// sized reads a number of two bytes, or four when wide.
func (c *cursor) sized(wide bool) uint32 {
	if wide {
		return uint32(c.uint(4))
	}
	return uint32(c.uint(2))
}

type extent struct{ offset, length uint64 }

type heifItem struct {
	kind       string
	hidden     bool
	inIdat     bool // extents count from the idat box
	extents    []extent
	properties []int // 1-based
}

type heifProperty struct {
	kind string
	body []byte
}

type heifMeta struct {
	primary    uint32
	items      map[uint32]*heifItem
	properties []heifProperty
	secondary  map[uint32]bool     // thumbnails, masks, tiles
	madeOf     map[uint32][]uint32 // the pieces of a grid or overlay
	idat       []byte
}

func (m *heifMeta) item(id uint32) *heifItem {
	if m.items[id] == nil {
		m.items[id] = &heifItem{}
	}
	return m.items[id]
}

func scanHEIF(data []byte, limit int64) (container, error) {
	m := heifMeta{items: map[uint32]*heifItem{}, secondary: map[uint32]bool{}, madeOf: map[uint32][]uint32{}}
	found := false
	missing := boxes(data, func(kind string, body []byte) {
		if kind == "meta" && !found && len(body) > 4 {
			found = true
			boxes(body[4:], m.take)
		}
	})
	if !found {
		if missing > 0 {
			return container{}, truncated(0)
		}
		return container{}, damaged("it names no picture")
	}
	c := m.container(data)
	if err := m.checkCoded(data, limit); err != nil {
		return c, err
	}
	// Only the pieces of the picture count: some phones append what is no box.
	if end := m.end(); end > uint64(len(data)) {
		return c, truncated(float64(len(data)) / float64(end))
	}
	return c, nil
}

// take reads one box within the meta box.
func (m *heifMeta) take(kind string, body []byte) {
	c := cursor{b: body}
	switch kind {
	case "pitm":
		version, _ := c.full()
		m.primary = c.sized(version > 0)
	case "iinf":
		if version, _ := c.full(); version == 0 {
			c.uint(2)
		} else {
			c.uint(4)
		}
		boxes(c.b, m.takeItemInfo)
	case "iloc":
		m.takeLocations(&c)
	case "iref":
		version, _ := c.full()
		boxes(c.b, func(kind string, body []byte) { m.takeReference(kind, cursor{b: body}, version > 0) })
	case "iprp":
		boxes(body, m.takeProperties)
	case "idat":
		m.idat = body
	}
}

func (m *heifMeta) takeItemInfo(kind string, body []byte) {
	c := cursor{b: body}
	version, flags := c.full()
	if kind != "infe" || version < 2 {
		return
	}
	id := c.sized(version > 2)
	c.uint(2)
	if len(c.b) >= 4 {
		item := m.item(id)
		item.kind, item.hidden = string(c.b[:4]), flags&1 != 0
	}
}

// takeLocations reads where items lie in the file.
func (m *heifMeta) takeLocations(c *cursor) {
	version, _ := c.full()
	sizes := c.uint(2)
	offsetSize, lengthSize, baseSize, indexSize := int(sizes>>12&15), int(sizes>>8&15), int(sizes>>4&15), int(sizes&15)
	if max(offsetSize, lengthSize, baseSize, indexSize) > 8 {
		return
	}
	count := c.sized(version > 1)
	for range count {
		id := c.sized(version > 1)
		method := uint64(0)
		if version > 0 {
			method = c.uint(2) & 15
		}
		c.uint(2)
		base := c.uint(baseSize)
		extents := c.uint(2)
		if c.done {
			return
		}
		item := m.item(id)
		item.inIdat = method == 1
		for range extents {
			if version > 0 {
				c.uint(indexSize)
			}
			e := extent{base + c.uint(offsetSize), c.uint(lengthSize)}
			if c.done {
				return
			}
			if method < 2 && lengthSize > 0 {
				item.extents = append(item.extents, e)
			}
		}
	}
}

// takeReference notes which items only serve another.
func (m *heifMeta) takeReference(kind string, c cursor, wide bool) {
	from := c.sized(wide)
	if kind == "thmb" || kind == "auxl" {
		m.secondary[from] = true
	}
	for range c.uint(2) {
		to := c.sized(wide)
		if c.done {
			return
		}
		if kind == "dimg" {
			m.secondary[to] = true
			m.madeOf[from] = append(m.madeOf[from], to)
		}
	}
}

func (m *heifMeta) takeProperties(kind string, body []byte) {
	switch kind {
	case "ipco":
		boxes(body, func(kind string, body []byte) { m.properties = append(m.properties, heifProperty{kind, body}) })
	case "ipma":
		c := cursor{b: body}
		version, flags := c.full()
		for range c.uint(4) {
			id := c.sized(version > 0)
			count := c.uint(1)
			if c.done {
				return
			}
			item := m.item(id)
			for range count {
				index := int(c.uint(1)) & 0x7f
				if flags&1 != 0 {
					index = index<<8 | int(c.uint(1))
				}
				item.properties = append(item.properties, index)
			}
		}
	}
}

// container sums up the primary picture.
func (m *heifMeta) container(data []byte) container {
	c := container{upright: true, coding: codingFull601}
	if primary := m.items[m.primary]; primary != nil {
		for _, i := range primary.properties {
			if i >= 1 && i <= len(m.properties) {
				c.takeProperty(m.properties[i-1])
			}
		}
	}
	for id, item := range m.items {
		picture := slices.Contains([]string{"hvc1", "grid", "iovl", "iden"}, item.kind)
		if picture && !item.hidden && !m.secondary[id] {
			c.images++
		}
		if item.kind == "Exif" && c.exif == nil {
			c.exif = exifOfItem(m.content(item, data))
		}
	}
	return c
}

func (c *container) takeProperty(p heifProperty) {
	r := cursor{b: p.body}
	switch p.kind {
	case "ispe":
		r.full()
		w, h := r.uint(4), r.uint(4)
		if w < 1<<30 && h < 1<<30 {
			c.width, c.height = int(w), int(h)
		}
	case "irot":
		if r.uint(1)&1 != 0 {
			c.turned = !c.turned
		}
	case "colr":
		if len(p.body) < 4 {
			return
		}
		switch r.uint(4); string(p.body[:4]) {
		case "prof", "rICC":
			c.icc = p.body[4:]
		case "nclx":
			c.primaries = int(r.uint(2))
			r.uint(2)
			matrix, full := r.uint(2), r.uint(1)>>7 == 1
			c.coding = codingOf(int(matrix), full)
		}
	}
}

// content joins the pieces of an item, up to the size allowed for EXIF.
func (m *heifMeta) content(item *heifItem, data []byte) []byte {
	from := data
	if item.inIdat {
		from = m.idat
	}
	var content []byte
	for _, e := range item.extents {
		n := uint64(len(from))
		if e.offset > n || e.length > n-e.offset || uint64(len(content))+e.length > maxEXIF {
			break
		}
		content = append(content, from[e.offset:e.offset+e.length]...)
	}
	return content
}

// exifOfItem skips to the TIFF header, whose distance stands first.
func exifOfItem(b []byte) []byte {
	c := cursor{b: b}
	skip := c.uint(4)
	if skip > uint64(len(c.b)) {
		return nil
	}
	return c.b[skip:]
}

// end is where the last piece of any item ends in the file.
func (m *heifMeta) end() uint64 {
	var end uint64
	for _, item := range m.items {
		for _, e := range item.extents {
			if !item.inIdat && e.length < 1<<40 && e.offset < 1<<40 {
				end = max(end, e.offset+e.length)
			}
		}
	}
	return end
}
