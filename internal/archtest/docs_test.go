package archtest

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Where the documents say that something is tested by a function, there is one.
func TestNamedTestsAreThere(t *testing.T) {
	there := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, "_test.go") {
			return nil
		}
		text, err := os.ReadFile(path)
		for _, found := range declared.FindAllSubmatch(text, -1) {
			there[string(found[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"threat-model.md", "asvs.md"} {
		text, err := os.ReadFile(filepath.Join("../../docs", name))
		if err != nil {
			t.Fatal(err)
		}
		named := regexp.MustCompile("`(Test\\w+)`").FindAllSubmatch(text, -1)
		if len(named) < 20 {
			t.Errorf("%s names %d tests only", name, len(named))
		}
		for _, n := range named {
			if !there[string(n[1])] {
				t.Errorf("%s says that something is tested by %s, which is not there", name, n[1])
			}
		}
	}
}
