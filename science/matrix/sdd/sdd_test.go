package sdd_test

import (
	"bytes"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"trug/science/key/starter"
	"trug/science/matrix"
	"trug/science/matrix/matrixtest"
	"trug/science/matrix/sdd"
)

var update = flag.Bool("update", false, "write the golden files anew")

var at = time.Date(2026, 10, 10, 17, 0, 0, 0, time.UTC)

func write(t testing.TB, m *matrix.Matrix) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := sdd.Write(&b, m, at, "1"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestRoundTrip(t *testing.T) {
	for name, m := range map[string]*matrix.Matrix{"every kind of entry": matrixtest.Full(), "the starter matrix": starter.Published()} {
		back, notes, err := sdd.Read(bytes.NewReader(write(t, m)), matrix.DefaultLimits)
		if err != nil || len(notes) > 0 {
			t.Fatalf("%s: %v %v", name, notes, err)
		}
		if !reflect.DeepEqual(m, back) {
			t.Errorf("%s came back as\n%+v\nnot\n%+v", name, back, m)
		}
	}
}

// The golden file was validated against the schema of SDD 1.1 revision 4
// (tdwg/sdd, commit fb7dfb4) with xmllint. The schema is GPL and not kept
// here; TRUG_SDD_SCHEMA names its SDD.xsd for TestSchema.
func TestGolden(t *testing.T) {
	path := filepath.Join("testdata", "full.sdd.xml")
	got := write(t, matrixtest.Full())
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the file differs from %s: read the difference, validate it (TRUG_SDD_SCHEMA), then run with -update", path)
	}
}

func TestSchema(t *testing.T) {
	schema := os.Getenv("TRUG_SDD_SCHEMA")
	if schema == "" {
		t.Skip("TRUG_SDD_SCHEMA names no SDD.xsd")
	}
	for name, m := range map[string]*matrix.Matrix{"full": matrixtest.Full(), "starter": starter.Published()} {
		path := filepath.Join(t.TempDir(), name+".xml")
		if err := os.WriteFile(path, write(t, m), 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("xmllint", "--nonet", "--noout", "--schema", schema, path).CombinedOutput(); err != nil {
			t.Errorf("%s: %s", name, out)
		}
	}
}

// The example (CC0) was written by hand from the standard; what it says is
// told beside it in the DELTA example of the same data.
func TestExample(t *testing.T) {
	f, err := os.Open(filepath.Join("testdata", "fungi-small.sdd.xml"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, notes, err := sdd.Read(f, matrix.DefaultLimits)
	if err != nil || len(notes) > 0 {
		t.Fatal(notes, err)
	}
	if len(m.Taxa) != 3 || len(m.Characters) != 4 || m.Taxa[1].Name != "Fungus secundus" || m.Characters[2].Unit != "um" {
		t.Fatalf("%+v", m)
	}
	if got := m.Rows[0][2].Numbers[0].String(); got != "(7.2-)7.6-8.2-8.9(-9.3)" {
		t.Errorf("spore length %s", got)
	}
	if got := m.Rows[1][2].Numbers[0].String(); got != "11-14" || m.Rows[1][1].Status != matrix.Inapplicable || m.Rows[2][2].Status != matrix.Blank {
		t.Errorf("%+v", m.Rows[1:])
	}
	if len(m.Rows[0][1].States) != 2 || m.Rows[0][3].Text != "pelargonium" {
		t.Errorf("%+v", m.Rows[0])
	}
}

func TestBadFilesAreRefused(t *testing.T) {
	whole := string(write(t, matrixtest.Full()))
	for name, c := range map[string]struct{ from, to, says string }{
		"no XML":            {whole, "hello", "no SDD file"},
		"other namespace":   {"http://rs.tdwg.org/UBIF/2006/", "http://example.org/", "namespace"},
		"a state of no one": {`<State ref="s.under.gills">`, `<State ref="nobody">`, "no state"},
		"a taxon of no one": {`<TaxonName ref="t.p">`, `<TaxonName ref="t.q">`, "not there"},
		"no number":         {`value="7.6"`, `value="seven"`, "no number"},
		"falling numbers":   {`type="Min" value="7.2"`, `type="Min" value="20"`, "rise"},
	} {
		_, _, err := sdd.Read(strings.NewReader(strings.Replace(whole, c.from, c.to, 1)), matrix.DefaultLimits)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, _, err := sdd.Read(strings.NewReader(whole), matrix.Limits{Characters: 2, States: 9, Taxa: 9, Cells: 99}); err == nil {
		t.Error("more characters than the limit were read")
	}
}

// What can be read can be written, and then reads alike.
func FuzzRead(f *testing.F) {
	f.Add(string(write(f, matrixtest.Full())))
	if data, err := os.ReadFile(filepath.Join("testdata", "fungi-small.sdd.xml")); err == nil {
		f.Add(string(data))
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, _, err := sdd.Read(strings.NewReader(text), matrix.Limits{Characters: 50, States: 50, Taxa: 50, Cells: 1000})
		if err != nil || len(m.Taxa) == 0 || len(m.Characters) == 0 {
			return
		}
		back, _, err := sdd.Read(bytes.NewReader(write(t, m)), matrix.DefaultLimits)
		if err != nil {
			t.Fatalf("what was written can't be read: %v", err)
		}
		if len(back.Taxa) != len(m.Taxa) || len(back.Characters) != len(m.Characters) {
			t.Fatal("taxa or characters were lost")
		}
	})
}
