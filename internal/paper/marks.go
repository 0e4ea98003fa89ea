package paper

import (
	"embed"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"codeberg.org/go-pdf/fpdf"
	"rsc.io/qr"
)

func (d *drawing) inkText(t tone) {
	if d.inks.text != t {
		d.pdf.SetTextColor(tones[t][0], tones[t][1], tones[t][2])
		d.inks.text = t
	}
}

func (d *drawing) inkDraw(t tone) {
	if d.inks.draw != t {
		d.pdf.SetDrawColor(tones[t][0], tones[t][1], tones[t][2])
		d.inks.draw = t
	}
}

func (d *drawing) inkFill(t tone) {
	if d.inks.fill != t {
		d.pdf.SetFillColor(tones[t][0], tones[t][1], tones[t][2])
		d.inks.fill = t
	}
}

// rule draws a line of a thickness in millimetres.
func (d *drawing) rule(x1, y1, x2, y2, thick float64, t tone) {
	if d.muted {
		return
	}
	d.inkDraw(t)
	d.pdf.SetLineWidth(thick)
	d.pdf.Line(x1, y1, x2, y2)
}

// dotted draws the line that something is written on.
func (d *drawing) dotted(x1, x2, y float64) {
	if d.muted || x2 <= x1 {
		return
	}
	d.pdf.SetDashPattern([]float64{.25, .75}, 0)
	d.rule(x1, y, x2, y, .25, second)
	d.pdf.SetDashPattern(nil, 0)
}

// frame draws a rectangle.
func (d *drawing) frame(x, y, w, h, thick float64, t tone) {
	if d.muted {
		return
	}
	d.inkDraw(t)
	d.pdf.SetLineWidth(thick)
	d.pdf.Rect(x, y, w, h, "D")
}

// tick draws a box to tick; y is the baseline of the text beside it.
func (d *drawing) tick(x, y, side float64) { d.frame(x, y-side+.25, side, side, .3, ink) }

// doubleRule is the line below a running head.
func (d *drawing) doubleRule(y float64) {
	d.rule(d.left, y, d.right, y, .6, ink)
	d.rule(d.left, y+1, d.right, y+1, .2, ink)
}

// heading sets a section's title over a hairline and returns the y below.
func (d *drawing) heading(x, y, w float64, text string) float64 {
	st := d.body(serif, 13)
	y = d.titled("H2", func() float64 { return d.paragraph("", x, y, w, st, text) })
	d.rule(x, y+.3, x+w, y+.3, .25, ink)
	return y + 1.6
}

// ruled draws lines to write on from y down to bottom.
func (d *drawing) ruled(x, y, w, bottom float64) {
	for at := y + 7; at <= bottom; at += 7 {
		d.dotted(x, x+w, at)
	}
}

//go:embed drawings/*.svg
var drawingFiles embed.FS

// stroke is a path of a drawing with its line's width, on a ground of 96 × 96.
type stroke struct {
	width float64
	ops   []op
}

// op is a step of a path: M, L, C or Z with absolute coordinates.
type op struct {
	do byte
	at [6]float64
}

// drawings holds the line drawings by name, read once.
var drawings = sync.OnceValues(func() (map[string][]stroke, error) {
	all := map[string][]stroke{}
	files, err := drawingFiles.ReadDir("drawings")
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		raw, err := drawingFiles.ReadFile("drawings/" + f.Name())
		if err != nil {
			return nil, err
		}
		s, err := readDrawing(raw)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name(), err)
		}
		all[strings.TrimSuffix(f.Name(), ".svg")] = s
	}
	return all, nil
})

// readDrawing reads the paths and circles of an SVG in the house form: a
// stroke width on the drawing or a group, no fills, no transforms.
func readDrawing(raw []byte) ([]stroke, error) {
	var out []stroke
	widths := []float64{1}
	dec := xml.NewDecoder(strings.NewReader(string(raw)))
	for {
		tok, err := dec.Token()
		if err != nil {
			if len(out) == 0 {
				return nil, fmt.Errorf("the drawing holds no line: %w", err)
			}
			return out, nil
		}
		switch t := tok.(type) {
		case xml.EndElement:
			widths = widths[:len(widths)-1]
		case xml.StartElement:
			width := widths[len(widths)-1]
			at := map[string]string{}
			for _, a := range t.Attr {
				at[a.Name.Local] = a.Value
			}
			if v, err := strconv.ParseFloat(at["stroke-width"], 64); err == nil {
				width = v
			}
			widths = append(widths, width)
			ops, err := shape(t.Name.Local, at)
			if err != nil {
				return nil, err
			}
			if ops != nil {
				out = append(out, stroke{width, ops})
			}
		}
	}
}

// shape returns the steps of one element.
func shape(element string, at map[string]string) ([]op, error) {
	switch element {
	case "path":
		return readPath(at["d"])
	case "circle":
		var v [3]float64
		for i, k := range []string{"cx", "cy", "r"} {
			f, err := strconv.ParseFloat(at[k], 64)
			if err != nil {
				return nil, fmt.Errorf("a circle's %s: %w", k, err)
			}
			v[i] = f
		}
		x, y, r := v[0], v[1], v[2]
		k := r * .5522847498 // four Bézier curves make a circle to 0.03 %
		return []op{{'M', [6]float64{x + r, y}}, {'C', [6]float64{x + r, y + k, x + k, y + r, x, y + r}},
			{'C', [6]float64{x - k, y + r, x - r, y + k, x - r, y}}, {'C', [6]float64{x - r, y - k, x - k, y - r, x, y - r}},
			{'C', [6]float64{x + k, y - r, x + r, y - k, x + r, y}}, {do: 'Z'}}, nil
	case "svg", "g", "title":
		return nil, nil
	}
	return nil, fmt.Errorf("<%s> is not drawn: use paths and circles", element)
}

// draw sets a drawing in a square of a side in millimetres.
func (d *drawing) draw(name string, x, y, side float64) {
	all, err := drawings()
	if d.muted {
		return
	}
	if err != nil {
		d.pdf.SetError(err)
		return
	}
	k := side / 96
	d.inkDraw(ink)
	d.pdf.SetLineCapStyle("round")
	d.pdf.SetLineJoinStyle("round")
	for _, s := range all[name] {
		d.pdf.SetLineWidth(max(s.width*k, .12))
		for _, o := range s.ops {
			for i := 0; i < 6; i += 2 {
				o.at[i], o.at[i+1] = x+o.at[i]*k, y+o.at[i+1]*k
			}
			step(d.pdf, o)
		}
		d.pdf.DrawPath("D")
	}
	d.pdf.SetLineCapStyle("butt")
	d.pdf.SetLineJoinStyle("miter")
}

func step(pdf *fpdf.Fpdf, o op) {
	switch o.do {
	case 'M':
		pdf.MoveTo(o.at[0], o.at[1])
	case 'L':
		pdf.LineTo(o.at[0], o.at[1])
	case 'C':
		pdf.CurveBezierCubicTo(o.at[0], o.at[1], o.at[2], o.at[3], o.at[4], o.at[5])
	case 'Z':
		pdf.ClosePath()
	}
}

// matrix encodes text as a QR code that stands a quarter of it being soiled.
func matrix(text string) (*qr.Code, error) {
	c, err := qr.Encode(text, qr.Q)
	if err != nil {
		return nil, fmt.Errorf("the address is too long for a square code (%d signs): shorten it", len(text))
	}
	return c, nil
}

// code draws a QR code with its quiet edge of four modules inside a square.
func (d *drawing) code(c *qr.Code, x, y, side float64) {
	if d.muted {
		return
	}
	defer d.unmark(d.mark("Figure", "Square code for a phone; the address and the field code beside it say the same."))
	m := side / float64(c.Size+8)
	d.inkFill(ink)
	for row := range c.Size {
		for col := 0; col < c.Size; col++ {
			n := 0
			for col+n < c.Size && c.Black(col+n, row) {
				n++
			}
			if n > 0 { // a hair higher, so that no light shows between rows
				d.pdf.Rect(x+float64(col+4)*m, y+float64(row+4)*m, float64(n)*m, m+.02, "F")
				col += n
			}
		}
	}
}

// Square returns the square code of a text for a screen: a row a string of 1
// (dark) and 0, without the quiet edge of four that it needs around it.
func Square(text string) ([]string, error) {
	c, err := matrix(text)
	if err != nil {
		return nil, err
	}
	rows := make([]string, c.Size)
	for y := range rows {
		row := make([]byte, c.Size)
		for x := range row {
			row[x] = '0'
			if c.Black(x, y) {
				row[x] = '1'
			}
		}
		rows[y] = string(row)
	}
	return rows, nil
}
