package describe

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// The golden files hold each a description and its two wordings, for a
// mycologist to read: testdata/prose/*.txt. The finds are invented, their
// answers those that the kind usually gives (from memory).
func TestProseGolden(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join("testdata", "prose", "*.json"))
	if err != nil || len(paths) < 8 {
		t.Fatal(len(paths), err)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var list []Answer
		if err := json.Unmarshal(data, &list); err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		v, answers := Standing(), Answers{}
		for _, a := range list {
			if err := v.Check(a); err != nil {
				t.Errorf("%s: %v", path, err)
			}
			answers[a.Character] = a
		}
		got := "In plain words\n\n" + v.Prose(answers, Plain) + "\n\nIn technical words\n\n" + v.Prose(answers, Technical) + "\n"
		golden := strings.TrimSuffix(path, ".json") + ".txt"
		if *update {
			if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if want, err := os.ReadFile(golden); err != nil || string(want) != got {
			t.Errorf("%s differs (-update writes it anew): %v\n%s", golden, err, got)
		}
	}
}

// Every character has its place in the prose, and both wordings tell the same
// facts in the same order, whatever the answer.
func TestProseTellsTheSameFacts(t *testing.T) {
	v := Standing()
	n := Between(3, 5)
	for _, c := range v.Characters() {
		if !slices.ContainsFunc(phrases(), func(p phrase) bool { return p.character == c.Name }) {
			t.Errorf("%s has no place in the prose", c.Name)
		}
	}
	for k := range 8 {
		answers := Answers{}
		for _, c := range v.Characters() {
			a := Answer{Character: c.Name}
			switch {
			case c.Kind == Numeric:
				a.Number = &n
			case c.Kind == Text:
				a.Text = "some words"
			default:
				a.States = []string{c.States[k%len(c.States)].Name}
			}
			answers[c.Name] = a
		}
		plain, technical := v.Facts(answers, Plain), v.Facts(answers, Technical)
		if len(plain) != len(technical) || len(plain) < 90 {
			t.Fatalf("%d facts in plain words, %d in technical ones", len(plain), len(technical))
		}
		for i := range plain {
			if plain[i].Character != technical[i].Character || strings.Contains(plain[i].Text+technical[i].Text, "{}") {
				t.Errorf("%+v and %+v", plain[i], technical[i])
			}
		}
	}
}

// Each state of a character reads differently: no fact is lost in the words.
func TestStatesReadApart(t *testing.T) {
	v := Standing()
	for _, r := range []Register{Plain, Technical} {
		for _, c := range v.Characters() {
			seen := map[string]string{}
			for _, s := range c.States {
				facts := v.Facts(Answers{c.Name: {Character: c.Name, States: []string{s.Name}}}, r)
				if len(facts) == 0 {
					continue // a blank
				}
				if other, ok := seen[facts[0].Text]; ok {
					t.Errorf("%s: %s and %s both read %q", c.Name, other, s.Name, facts[0].Text)
				}
				seen[facts[0].Text] = s.Name
			}
		}
	}
}

func TestProseOfNothing(t *testing.T) {
	if got := Standing().Prose(nil, Plain); got != "" {
		t.Errorf("nothing reads %q", got)
	}
	got := Standing().Prose(Answers{"ring": {Character: "ring", Blank: NotVisible}, "volva": {Character: "volva", States: []string{"not_dug"}}}, Plain)
	if got != "Not looked for: bag or remains at the base. Could not be told: ring on the stem." {
		t.Errorf("blanks read %q", got)
	}
}
