package archtest

import (
	"encoding/json"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// allowed are the licences under which others' work may come in, here by a
// sentence that each licence's text has and no other of them.
var allowed = []struct{ name, text string }{
	{"Apache-2.0", `Apache License\s+Version 2\.0`},
	{"MPL-2.0", `Mozilla Public License,? [Vv]ersion 2\.0`},
	{"BSD-3-Clause", `(Neither the names? of|may not be used to endorse)`},
	{"BSD-2-Clause", `Redistributions in binary form must reproduce`},
	{"ISC", `Permission to use, copy, modify, and/?(or)? distribute this software for any`},
	{"MIT", `Permission is hereby granted, free of charge, to any person obtaining a copy`},
	{"public domain", `(?i)placed in the public domain|CC0 1\.0 Universal`},
}

// neverAllowed is refused wherever it stands in a module's licence. The HEIC
// decoder's LGPL parts are run in a sandbox, not linked (THIRD_PARTY.md).
var neverAllowed = regexp.MustCompile(`GNU (AFFERO )?GENERAL PUBLIC LICENSE|Server Side Public License|Business Source License|Commons Clause`)

// npmAllowed are the same for npm, by SPDX.
var npmAllowed = []string{"MIT", "ISC", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "0BSD", "BlueOak-1.0.0", "MPL-2.0", "CC0-1.0", "CC-BY-4.0", "Python-2.0", "Unlicense", "(MIT OR CC0-1.0)", "(AFL-2.1 OR BSD-3-Clause)"}

// licenceOf names the licence of a module's folder; empty when it is none of the allowed.
func licenceOf(t *testing.T, dir string) (name, file string) {
	t.Helper()
	for _, pattern := range []string{"LICENSE*", "LICENCE*", "License*", "COPYING*"} {
		found, err := filepath.Glob(filepath.Join(dir, pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			text, err := os.ReadFile(f)
			if err != nil {
				continue // a folder of licences
			}
			text = regexp.MustCompile(`\s+`).ReplaceAll(text, []byte(" ")) // lines break anywhere
			if never := neverAllowed.Find(text); never != nil {
				return "", f + ": " + string(never)
			}
			for _, a := range allowed {
				if regexp.MustCompile(a.text).Match(text) {
					return a.name, f
				}
			}
		}
	}
	return "", ""
}

// Each module that the program or its tests are built from is under a licence
// of the list and named in THIRD_PARTY.md. It is read in the module cache: no
// network is asked.
func TestLicencesOfModules(t *testing.T) {
	cmd := exec.Command("go", "list", "-deps", "-test", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}", "./...")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	named := thirdParty(t)
	lines := strings.Fields(string(out))
	modules := map[string]string{}
	for i := 0; i+1 < len(lines); i += 2 {
		modules[lines[i]] = lines[i+1]
	}
	if len(modules) < 20 {
		t.Fatalf("only %d modules were found", len(modules))
	}
	version := regexp.MustCompile(`/v\d+$`)
	for module, dir := range modules {
		if name, file := licenceOf(t, dir); name == "" {
			t.Errorf("%s is under no licence of the list (%s)", module, file)
		}
		if last := path.Base(version.ReplaceAllString(module, "")); !strings.Contains(named, last) {
			t.Errorf("%s is not named in THIRD_PARTY.md: add it with its licence", module)
		}
	}
}

func thirdParty(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../THIRD_PARTY.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Each npm package of the lock file is under a licence of the list; what is
// built into the web app stands in THIRD_PARTY.md, with what it brings along.
func TestLicencesOfNPMPackages(t *testing.T) {
	text, err := os.ReadFile("../web/ui/package-lock.json")
	if err != nil {
		t.Fatal(err)
	}
	var lock struct {
		Packages map[string]struct {
			License      string
			Dev          bool
			Dependencies map[string]string
		}
	}
	if err := json.Unmarshal(text, &lock); err != nil {
		t.Fatal(err)
	}
	named, seen := thirdParty(t), 0
	for name, p := range lock.Packages {
		if name == "" {
			continue
		}
		seen++
		if !slices.Contains(npmAllowed, p.License) {
			t.Errorf("%s is under %q, which is not on the list", name, p.License)
		}
		if short := strings.TrimPrefix(name, "node_modules/"); !p.Dev && !strings.Contains(named, short) {
			t.Errorf("%s goes into the web app and is not named in THIRD_PARTY.md", short)
		}
	}
	if seen < 20 {
		t.Errorf("only %d packages were found", seen)
	}
}

// The check itself knows a licence that is not allowed.
func TestLicencesThatAreNot(t *testing.T) {
	dir := t.TempDir()
	for text, want := range map[string]string{"GNU GENERAL PUBLIC LICENSE Version 3": "", "All rights reserved.": "", "Apache License\n Version 2.0, January 2004": "Apache-2.0"} {
		if err := os.WriteFile(filepath.Join(dir, "LICENSE"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if got, _ := licenceOf(t, dir); got != want {
			t.Errorf("%q is taken for %q, want %q", text, got, want)
		}
	}
}
