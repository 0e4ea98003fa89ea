package forms_test

import (
	"bytes"
	"io"
	"testing"
	"time"

	"trug/science/matrix"
	"trug/science/matrix/delta"
	"trug/science/matrix/forms"
	"trug/science/matrix/matrixtest"
	"trug/science/matrix/sdd"
)

// The same matrix in each form reads as the same taxa and characters.
func TestEachForm(t *testing.T) {
	for name, write := range map[string]func(io.Writer, *matrix.Matrix) error{
		"sdd":   func(w io.Writer, m *matrix.Matrix) error { return sdd.Write(w, m, time.Unix(0, 0), "") },
		"delta": delta.Write,
		"table": matrix.Write,
	} {
		var b bytes.Buffer
		if err := write(&b, matrixtest.Full()); err != nil {
			t.Fatal(err)
		}
		m, notes, err := forms.Read(&b, delta.UTF8, matrix.DefaultLimits)
		if err != nil || len(notes) > 0 || len(m.Taxa) != 3 || len(m.Characters) != 6 {
			t.Errorf("%s: %v, %v", name, notes, err)
		}
	}
	if _, _, err := forms.Read(bytes.NewReader(nil), delta.UTF8, matrix.DefaultLimits); err == nil {
		t.Error("an empty file was read")
	}
}
