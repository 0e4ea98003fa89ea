package delta_test

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"trug/science/key/starter"
	"trug/science/matrix"
	"trug/science/matrix/delta"
	"trug/science/matrix/matrixtest"
)

func write(t testing.TB, m *matrix.Matrix) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := delta.Write(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestRoundTrip(t *testing.T) {
	for name, m := range map[string]*matrix.Matrix{"every kind of entry": matrixtest.Full(), "the starter matrix": starter.Published()} {
		text := write(t, m)
		back, notes, err := delta.Read(bytes.NewReader(text), delta.UTF8, matrix.DefaultLimits)
		if err != nil || len(notes) > 0 {
			t.Fatalf("%s: %v %v\n%s", name, notes, err, text)
		}
		if !reflect.DeepEqual(m, back) {
			t.Errorf("%s came back as\n%+v\nnot\n%+v", name, back, m)
		}
	}
}

// The example (CC0) was written by hand from the standard.
func TestExample(t *testing.T) {
	f, err := os.Open(filepath.Join("testdata", "fungi-small.delta.txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, notes, err := delta.Read(f, delta.UTF8, matrix.DefaultLimits)
	if err != nil || len(notes) > 0 {
		t.Fatal(notes, err)
	}
	if len(m.Taxa) != 3 || m.Taxa[0].Name != "Fungus primus" || m.Taxa[0].Says != "invented" || m.Characters[2].Unit != "um" || m.Characters[0].ID != "hymenophore" {
		t.Fatalf("%+v", m)
	}
	if got := m.Rows[0][2].Numbers[0].String(); got != "(7.2-)7.6-8.2-8.9(-9.3)" {
		t.Errorf("spore length %s", got)
	}
	if s := m.Rows[0][1].States; len(s) != 2 || s[1].Note != "when old" || m.Rows[0][3].Text != "pelargonium" {
		t.Errorf("%+v", m.Rows[0])
	}
	if m.Rows[1][1].Status != matrix.Inapplicable || m.Rows[1][2].Numbers[0].String() != "11-14" {
		t.Errorf("%+v", m.Rows[1])
	}
	// Without an attribute, and with spines: does not apply, by the rule.
	if m.Rows[2][1].Status != matrix.Inapplicable || m.Rows[2][2].Status != matrix.Blank || m.Rows[2][3].Status != matrix.Blank {
		t.Errorf("%+v", m.Rows[2])
	}
}

// Traps of the standard: stars and slashes in texts, ranges of states,
// implicit values, variants, words shortened to three letters, windows-1252.
func TestTraps(t *testing.T) {
	const text = `*COMMENT *not seen after a blank? this one is: 5*6
*NUM OF CHAR 3
*CHA TYPES 2,OM 3,IN
*NUM OF STATES 1-2,4
*IMPLICIT VALUES 1,2:1
*UNHEARD OF THING 1 2 3
*CHARACTER LIST
#1. either/or <one / two>/ 1. a/b/ 2. b/ 3. c/ 4. d/
#2. size class/ 1. tiny/ 2. small/ 3. large/ 4. huge/
#3. folds/ per cm/
*ITEM DESCRIPTIONS
# Primus <a #1 find / two>/ 1,1-3 2,1-3<of age> 3,2/4&6
# Secundus/ 2,4
#+ var. minor/ 2<seen twice>,1
`
	m, notes, err := delta.Read(strings.NewReader(strings.ReplaceAll(text, "folds", "falt\xe9")), delta.Windows1252, matrix.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	if len(notes) != 1 || !strings.Contains(notes[0], "UNHEARD OF THING") {
		t.Errorf("notes %q", notes)
	}
	if m.Characters[0].Label != "either/or" || m.Characters[0].States[0].Label != "a/b" || m.Characters[2].Label != "falté" {
		t.Errorf("%+v", m.Characters)
	}
	count := func(t, c int) int { return len(m.Rows[t][c].States) }
	if count(0, 0) != 2 || count(0, 1) != 3 || len(m.Rows[0][2].Numbers) != 3 {
		t.Errorf("a range of states without order has its ends alone, one with order those between: %+v", m.Rows[0])
	}
	if m.Rows[1][0].States[0].State != 1 || m.Taxa[2].Name != "Secundus var. minor" || m.Rows[2][0].States[0].State != 1 || m.Rows[2][1].States[0].State != 0 {
		t.Errorf("implicit value or variant: %+v %+v", m.Taxa, m.Rows[1:])
	}
	if _, _, err := delta.Read(strings.NewReader("*CHARACTER LIST \xe9"), delta.UTF8, matrix.DefaultLimits); err == nil || !strings.Contains(err.Error(), "windows-1252") {
		t.Errorf("bytes that are not UTF-8: %v", err)
	}
}

func TestBadFilesAreRefused(t *testing.T) {
	const list = "*NUMBER OF CHARACTERS 2\n*CHARACTER TYPES 2,RN\n*CHARACTER LIST #1. a/ 1. x/ 2. y/ #2. b/\n*ITEM DESCRIPTIONS # Unus/ "
	for name, c := range map[string]struct{ text, says string }{
		"empty":              {"", "CHARACTER LIST"},
		"too few":            {"*NUMBER OF CHARACTERS 3\n*CHARACTER LIST #1. a/ 1. x/ 2. y/", "announced"},
		"states missing":     {"*CHARACTER LIST #1. a/ 1. x/", "announced"},
		"out of order":       {"*CHARACTER LIST #2. a/ 1. x/ 2. y/", "expected"},
		"no such state":      {list + "1,3", "no such state"},
		"no such character":  {list + "7,3", "no character"},
		"no number":          {list + "2,wide", "not a number"},
		"falling numbers":    {list + "2,9-3", "fall"},
		"name without end":   {"*CHARACTER LIST #1. a/ 1. x/ 2. y/ *ITEM DESCRIPTIONS # Unus", "slash"},
		"rule of no one":     {"*DEPENDENT CHARACTERS 9,1:1\n" + list, "rule"},
		"types of no one":    {"*CHARACTER TYPES 2,XX\n" + list, "no type"},
		"set without bounds": {"*CHARACTER TYPES 1-999999999,UM\n" + list, "no set"},
	} {
		_, _, err := delta.Read(strings.NewReader(c.text), delta.UTF8, matrix.DefaultLimits)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What can be read can be written, and then reads alike.
func FuzzRead(f *testing.F) {
	f.Add(string(write(f, matrixtest.Full())))
	if data, err := os.ReadFile(filepath.Join("testdata", "fungi-small.delta.txt")); err == nil {
		f.Add(string(data))
	}
	f.Add("*CHARACTER LIST #1. a/ 1. x/ 2. y/ *ITEM DESCRIPTIONS # Unus <id 3>/ 1<a<b>c>,1-2&1/V")
	f.Fuzz(func(t *testing.T, text string) {
		m, _, err := delta.Read(strings.NewReader(text), delta.UTF8, matrix.Limits{Characters: 50, States: 50, Taxa: 50, Cells: 1000})
		if err != nil {
			return
		}
		back, _, err := delta.Read(bytes.NewReader(write(t, m)), delta.UTF8, matrix.DefaultLimits)
		if err != nil {
			t.Fatalf("what was written can't be read: %v\n%s", err, write(t, m))
		}
		if len(back.Taxa) != len(m.Taxa) || len(back.Characters) != len(m.Characters) {
			t.Fatal("taxa or characters were lost")
		}
	})
}
