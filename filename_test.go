package trug_test

import (
	"slices"
	"strings"
	"testing"

	"trug"
)

func TestReadFileName(t *testing.T) {
	for name, want := range map[string]trug.FileTells{
		"W26-0305_a.jpg":                   {Numbers: []string{"W26-0305"}, Kind: trug.Top},
		"W26-0305 top.jpg":                 {Numbers: []string{"W26-0305"}, Kind: trug.Top},
		"W26-0305/IMG_1.JPG":               {Numbers: []string{"W26-0305"}},
		"card 2/W26-0305/side.heic":        {Numbers: []string{"W26-0305"}, Kind: trug.Side},
		"w26_305d.JPG":                     {Numbers: []string{"W26-0305"}, Kind: trug.Surroundings},
		"W260305 gills.jpg":                {Numbers: []string{"W26-0305"}, Kind: trug.Underneath},
		"top W26-0305.jpg":                 {Numbers: []string{"W26-0305"}, Kind: trug.Top},
		"W26-0305 spore print.jpg":         {Numbers: []string{"W26-0305"}, Kind: trug.SporePrint},
		"W26-0305 close-up (2).jpg":        {Numbers: []string{"W26-0305"}, Kind: trug.CloseUp},
		"W26-0305/W26-0306.jpg":            {Numbers: []string{"W26-0306", "W26-0305"}},
		"W26-0305/W26-0305_b.jpg":          {Numbers: []string{"W26-0305"}, Kind: trug.Side},
		"W26-0305 top and side.jpg":        {Numbers: []string{"W26-0305"}}, // two views in one name are none
		"W26-12345.jpg":                    {Numbers: []string{"W26-12345"}},
		`W26-0305\IMG_2.JPG`:               {Numbers: []string{"W26-0305"}},
		"V25-0305 top.jpg":                 {Foreign: "V25-0305", Kind: trug.Top},
		"IMG_0305.jpg":                     {},
		"DSC00305.JPG":                     {},
		"PXL_20261010_101500123.jpg":       {},
		"20261010/0305.jpg":                {},
		"XW26-0305.jpg":                    {},
		"W26-0000.jpg":                     {},
		"W26-1234567.jpg":                  {},
		"W2603.jpg":                        {},
		"a.jpg":                            {}, // the slip's letters count after its number alone
		"P10_2026.jpg":                     {},
		"topsoil under the surface/x.jpg":  {Kind: trug.Underneath},
		"W26-0305 Möhrenlinge underneath.": {Numbers: []string{"W26-0305"}, Kind: trug.Underneath},
	} {
		got := trug.ReadFileName("W26", name)
		if !slices.Equal(got.Numbers, want.Numbers) || got.Foreign != want.Foreign || got.Kind != want.Kind {
			t.Errorf("%q tells %+v, want %+v", name, got, want)
		}
	}
}

// Whatever a file is called, what is read of it is a number of the season that
// its own figures spell, and a view that there is.
func FuzzReadFileName(f *testing.F) {
	f.Add("W26", "W26-0305/IMG_1.JPG")
	f.Add("W26", "w26_0305 top.jpg")
	f.Add("AB", "ab 123456d")
	f.Add("W26", "V25-0305 \xff")
	f.Add("É", "é-0305")
	f.Fuzz(func(t *testing.T, code, name string) {
		got := trug.ReadFileName(code, name)
		for _, n := range got.Numbers {
			figures, ok := strings.CutPrefix(n, code+"-")
			if !ok || len(figures) < 4 || strings.Trim(figures, "0123456789") != "" || !strings.Contains(name, strings.TrimLeft(figures, "0")) {
				t.Errorf("%q of season %q tells %q", name, code, n)
			}
		}
		if got.Kind != "" && !got.Kind.Valid() {
			t.Errorf("%q tells the view %q", name, got.Kind)
		}
	})
}
