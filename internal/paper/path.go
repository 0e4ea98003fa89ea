package paper

import (
	"fmt"
	"strconv"
	"strings"
)

// readPath reads the path data of SVG 1.1 (section 8.3) as far as the
// drawings use it: M, L, H, V, C and Z, in either case.
func readPath(d string) ([]op, error) {
	var out []op
	var x, y, x0, y0 float64
	for d = strings.TrimLeft(d, " ,\n\t"); d != ""; {
		do := d[0]
		need := map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'Z': 0}[do&^0x20]
		if !strings.ContainsRune("MLHVCZmlhvcz", rune(do)) {
			return nil, fmt.Errorf("the path has %q where M, L, H, V, C or Z should stand", do)
		}
		d = d[1:]
		v, rest, err := numbers(d)
		if err != nil {
			return nil, err
		}
		d = rest
		if need == 0 && len(v) == 0 {
			out = append(out, op{do: 'Z'})
			x, y = x0, y0
			continue
		}
		if need == 0 || len(v) == 0 || len(v)%need != 0 {
			return nil, fmt.Errorf("%c in a path takes %d numbers, not %d", do, need, len(v))
		}
		for ; len(v) > 0; v = v[need:] {
			o := absolute(do, v[:need], x, y)
			n := 0
			if o.do == 'C' {
				n = 4
			}
			x, y = o.at[n], o.at[n+1]
			if o.do == 'M' {
				x0, y0 = x, y
				do = 'L' | do&0x20 // further pairs after a move are lines
			}
			out = append(out, o)
		}
	}
	if len(out) > 0 && out[0].do != 'M' {
		return nil, fmt.Errorf("the path begins with %c: it must move somewhere first", out[0].do)
	}
	return out, nil
}

// absolute makes one step from the current point x, y.
func absolute(do byte, v []float64, x, y float64) op {
	var bx, by float64
	if do&0x20 != 0 {
		bx, by = x, y
	}
	o := op{do: do &^ 0x20}
	switch o.do {
	case 'H':
		return op{'L', [6]float64{bx + v[0], y}}
	case 'V':
		return op{'L', [6]float64{x, by + v[0]}}
	}
	for i := 0; i < len(v); i += 2 {
		o.at[i], o.at[i+1] = bx+v[i], by+v[i+1]
	}
	return o
}

// numbers reads the numbers at the beginning of d.
func numbers(d string) (v []float64, rest string, err error) {
	for {
		d = strings.TrimLeft(d, " ,\n\t")
		i := 0
		for i < len(d) && (d[i] >= '0' && d[i] <= '9' || d[i] == '.' && !strings.Contains(d[:i], ".") || i == 0 && d[i] == '-') {
			i++
		}
		if i == 0 {
			return v, d, nil
		}
		f, err := strconv.ParseFloat(d[:i], 64)
		if err != nil {
			return nil, d, fmt.Errorf("%q in a path is no number", d[:i])
		}
		v, d = append(v, f), d[i:]
	}
}
