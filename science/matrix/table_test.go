package matrix_test

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"trug/science/key/starter"
	"trug/science/matrix"
	"trug/science/matrix/matrixtest"
)

func write(t testing.TB, m *matrix.Matrix) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := matrix.Write(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestTableRoundTrip(t *testing.T) {
	full := matrixtest.Full()
	full.Characters[0].States[0].Says = "" // the plain table keeps no remarks of states
	for name, m := range map[string]*matrix.Matrix{"every kind of entry": full, "the starter matrix": starter.Published()} {
		text := write(t, m)
		back, err := matrix.Read(bytes.NewReader(text), matrix.DefaultLimits)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !reflect.DeepEqual(m, back) {
			t.Errorf("%s came back as\n%+v\nnot\n%+v\n%s", name, back, m, text)
		}
	}
}

// A table without a word on what its columns are.
func TestBareTable(t *testing.T) {
	m, err := matrix.Read(strings.NewReader("\ufefftaxon,name,remarks,cap,width,nothing\n1,Una,,red|white,10|20,\n2,Dua,,red:0.6/10|blue?,(3-)5-8,\n3,Tria,,~,-,\n"), matrix.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	if c := m.Characters; c[0].Kind != matrix.Unordered || len(c[0].States) != 3 || c[1].Kind != matrix.Numeric || c[2].Kind != matrix.Text {
		t.Errorf("%+v", c)
	}
	if s := m.Rows[1][0].States; s[0].Frequency != 0.6 || s[0].Count != 10 || !s[1].Doubtful {
		t.Errorf("%+v", s)
	}
	if low, _, high, ok := m.Rows[0][1].Extent(); low != 10 || high != 20 || !ok || m.Rows[2][0].Status != matrix.Depends || m.Rows[2][1].Status != matrix.Inapplicable {
		t.Errorf("%+v", m.Rows)
	}
}

func TestBadTablesAreRefused(t *testing.T) {
	const head = "taxon,name,remarks,cap,width\n"
	for name, c := range map[string]struct{ text, says string }{
		"empty":             {"", "header"},
		"other header":      {"a,b,c,d\n", "header"},
		"cells missing":     {head + "1,Una,,red\n", "line 2"},
		"unknown line":      {head + "#colour,,,x,y\n", "line 2"},
		"unknown kind":      {head + "#kind,,,shape,numeric\n1,Una,,red,3\n", "kind"},
		"unknown state":     {head + "#states,,,red=Red|blue=Blue,\n1,Una,,green,3\n", "it has red, blue"},
		"twice":             {head + "1,Una,,red,3\n1,Dua,,red,4\n", "twice"},
		"frequency above 1": {head + "1,Una,,red:2,3\n", "frequency"},
		"no name":           {head + "1,,,red,3\n", "name"},
		"rule of no one":    {head + "#does not apply where,,,,colour=red\n1,Una,,red,3\n", "no character colour"},
	} {
		if _, err := matrix.Read(strings.NewReader(c.text), matrix.DefaultLimits); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func FuzzReadTable(f *testing.F) {
	f.Add(string(write(f, matrixtest.Full())))
	f.Add("taxon,name,remarks,cap,width\n1,Una,,red:0.6/10|blue?,(3-)5-8\n")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := matrix.Read(strings.NewReader(text), matrix.Limits{Characters: 50, States: 50, Taxa: 50, Cells: 1000})
		if err != nil {
			return
		}
		if err := m.Validate(); err != nil {
			t.Fatalf("what was read is not valid: %v", err)
		}
		write(t, m)
	})
}
