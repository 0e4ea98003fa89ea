// Package forms reads a matrix in whichever form it comes: SDD, DELTA or the
// plain table.
package forms

import (
	"bufio"
	"bytes"
	"io"

	"trug/science/matrix"
	"trug/science/matrix/delta"
	"trug/science/matrix/sdd"
)

// Read tells the form by how the file begins, and reads it: an SDD file with an
// angle bracket, a DELTA file with a star, all else is a plain table. The notes
// say what was passed over. The encoding is asked for DELTA alone.
func Read(r io.Reader, e delta.Encoding, limits matrix.Limits) (*matrix.Matrix, []string, error) {
	b := bufio.NewReader(r)
	begin, err := b.Peek(512)
	if err != nil && err != io.EOF {
		return nil, nil, err
	}
	begin = bytes.TrimLeft(bytes.TrimPrefix(begin, []byte("\ufeff")), " \t\r\n")
	switch {
	case bytes.HasPrefix(begin, []byte("<")):
		return sdd.Read(b, limits)
	case bytes.HasPrefix(begin, []byte("*")):
		return delta.Read(b, e, limits)
	}
	m, err := matrix.Read(b, limits)
	return m, nil, err
}
