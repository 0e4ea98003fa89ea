// Package archtest holds the rules of ARCHITECTURE.md as failing tests.
package archtest

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
)

// pkg is what the go command tells of a package.
type pkg struct {
	ImportPath   string
	Dir          string
	Doc          string
	GoFiles      []string
	CgoFiles     []string
	Imports      []string
	Deps         []string
	TestImports  []string
	XTestImports []string
}

// packages lists the module's packages, as built for this machine.
var packages = sync.OnceValues(func() ([]pkg, error) { return list("", "./...") })

func list(goos string, args ...string) ([]pkg, error) {
	cmd := exec.Command("go", append([]string{"list", "-json=ImportPath,Dir,Doc,GoFiles,CgoFiles,Imports,Deps,TestImports,XTestImports"}, args...)...)
	cmd.Dir = "../.."
	if goos != "" {
		cmd.Env = append(cmd.Environ(), "GOOS="+goos, "GOARCH=wasm")
	}
	out, err := cmd.Output()
	if err != nil {
		var e *exec.ExitError
		if errors.As(err, &e) {
			err = errors.New(string(e.Stderr))
		}
		return nil, err
	}
	var all []pkg
	d := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p pkg
		if err := d.Decode(&p); err == io.EOF {
			return all, nil
		} else if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
}

func all(t *testing.T) []pkg {
	t.Helper()
	list, err := packages()
	if err != nil {
		t.Fatal(err)
	}
	if len(list) < 15 {
		t.Fatalf("only %d packages were found: the rules would hold of nothing", len(list))
	}
	return list
}

// under reports whether path is pkg or lies below it.
func under(path, pkg string) bool { return path == pkg || strings.HasPrefix(path, pkg+"/") }

// edges lists what a layer may import of this module. A package not named
// here may import nothing of it; a new edge needs its reason.
var edges = []struct {
	pkg    string
	may    []string
	reason string
}{
	{"trug/science/said", nil, "sentences for every language stand on their own"},
	{"trug/science/place/outline", []string{"trug/science/place"}, "outlines are read into places"},
	{"trug/science/place", []string{"trug/science/said"}, "places stand on their own; what is wrong with one is a sentence for every language"},
	{"trug/science/colour", nil, "colours stand on their own"},
	{"trug/science/photo", []string{"trug/science/said", "trug/science/colour", "trug/science/place"}, "photographs bear colours and places"},
	{"trug/science/card", []string{"trug/science/said", "trug/science/photo", "trug/science/colour"}, "the card lies in photographs and bears colours"},
	{"trug/science/truecolour", []string{"trug/science/said", "trug/science/card", "trug/science/colour"}, "a colour is corrected through the card's fields"},
	{"trug/science/sharpness", nil, "the spread of edges is read off light alone"},
	{"trug/science/measure", []string{"trug/science/said", "trug/science/card", "trug/science/photo", "trug/science/colour", "trug/science/sharpness"}, "sizes are read off the plane of the card in a photograph; what it resolves follows from its blur"},
	{"trug/science/view", []string{"trug/science/said", "trug/science/card", "trug/science/measure", "trug/science/sharpness", "trug/science/truecolour"}, "what a view shows at once is read by those who know each part of it"},
	{"trug/science/describe", []string{"trug/science/said", "trug/science/colour"}, "the vocabulary is words, and colours that were measured are told in them"},
	{"trug/science/matrix", []string{"trug/science/describe", "trug/science/matrix"}, "a matrix holds numbers in the notation of descriptions; its forms are read into it"},
	{"trug/science/key/starter", []string{"trug/science/describe", "trug/science/matrix", "trug/science/key"}, "the starter matrix is told in the vocabulary, and tells how a key weighs it"},
	{"trug/science/groups", nil, "which views a group needs is a table, for advice and records alike"},
	{"trug/science/advice", []string{"trug/science/said", "trug/science/groups", "trug/science/view", "trug/science/sharpness", "trug/science/card"}, "advice follows from what a view shows and from what each purpose needs"},
	{"trug/science/key/asking", []string{"trug/science/describe", "trug/science/matrix", "trug/science/key", "trug/science/advice"}, "a recorder is asked by the key in the vocabulary's words, or for a view that the group needs; a phone holds the matrix as a table"},
	{"trug/science/key", []string{"trug/science/describe", "trug/science/matrix"}, "a key weighs a matrix and answers in the vocabulary's numbers"},
	{"trug", []string{"trug/science"}, "the words of a season use the types of science"},
	{"trug/internal/store", []string{"trug", "trug/science", "trug/internal/store"}, "rows are conversions of the words"},
	{"trug/internal/signin", []string{"trug", "trug/science/said"}, "codes and passwords are made and read without a store"},
	{"trug/internal/offline", []string{"trug", "trug/science/said"}, "messages tell of records; phone and server merge them alike, and say what is wrong with one in every language"},
	{"trug/internal/blob", []string{"trug", "trug/internal/blob"}, "files are named by trug.Hash"},
	{"trug/internal/dwca", []string{"trug", "trug/science"}, "an archive is a conversion of the words"},
	{"trug/internal/paper", []string{"trug", "trug/science"}, "printed sheets are told in the words; they write nothing"},
	{"trug/internal/demo", []string{"trug", "trug/science", "trug/internal/demo"}, "the invented season is told in the words; it writes nothing"},
	{"trug/internal/app/apptest", []string{"trug", "trug/science/place", "trug/science/card", "trug/science/colour", "trug/internal/app", "trug/internal/demo", "trug/internal/blob", "trug/internal/store"},
		"tests assemble an app, and fill it with things that lie somewhere and photographs that show the card"},
	{"trug/internal/app", []string{"trug", "trug/science", "trug/internal/store", "trug/internal/blob", "trug/internal/signin", "trug/internal/offline", "trug/internal/dwca", "trug/internal/demo", "trug/internal/paper"}, "use cases join everything below"},
	{"trug/internal/web", []string{"trug/science/said", "trug", "trug/internal/app", "trug/internal/offline"}, "the web reaches stores through app alone, and reads the messages of phones"},
	{"trug/internal/certs", nil, "certificates know nothing of seasons"},
	{"trug/internal/cli", []string{"trug", "trug/science/place", "trug/science/photo", "trug/science/card", "trug/science/measure", "trug/science/view", "trug/science/truecolour", "trug/science/describe", "trug/science/matrix", "trug/science/key", "trug/internal/paper", "trug/internal/offline", "trug/internal/app", "trug/internal/web", "trug/internal/certs", "trug/internal/demo", "trug/internal/dwca",
		"trug/internal/store/sqlite", "trug/internal/store", "trug/internal/blob", "trug/internal/blob/disk"}, "the command line assembles the app, serves it, reads archives, asks the key, prints cards and measures photographs"},
	{"trug/internal/archtest", []string{"trug/science/said"}, "the rules look at everything from outside"},
	{"trug/cmd/trug", []string{"trug/internal/cli"}, "the program is its command line"},
	{"trug/cmd/trugwasm", []string{"trug/science/card", "trug/science/measure", "trug/science/view", "trug/science/advice", "trug/science/describe", "trug/science/key"}, "what runs in the browser is science behind a thin door"},
	{"trug/bench", []string{"trug", "trug/science", "trug/bench", "trug/internal/demo"}, "comparisons may look at everything; the invented season knows its true sizes"},
}

// Rule 1 and 4: dependencies point one way.
func TestDirection(t *testing.T) {
	for _, p := range all(t) {
		i := slices.IndexFunc(edges, func(e struct {
			pkg    string
			may    []string
			reason string
		}) bool {
			return e.pkg == p.ImportPath || e.pkg != "trug" && under(p.ImportPath, e.pkg)
		})
		if i < 0 {
			t.Errorf("%s has no row in the table of edges: say what it may import, and why", p.ImportPath)
			continue
		}
		for _, imp := range p.Imports {
			if !under(imp, "trug") || slices.ContainsFunc(edges[i].may, func(m string) bool { return imp == m || m != "trug" && under(imp, m) }) {
				continue
			}
			t.Errorf("%s imports %s, which its layer may not (%s)", p.ImportPath, imp, edges[i].reason)
		}
	}
}

// Within internal/store and internal/blob the adapters know the interface,
// never each other's databases.
func TestAdaptersAreApart(t *testing.T) {
	for _, p := range all(t) {
		for _, imp := range p.Imports {
			if p.ImportPath == "trug/internal/store" && under(imp, "trug/internal/store/") {
				t.Errorf("the interface imports its adapter %s", imp)
			}
			if under(p.ImportPath, "trug/internal/app") && !under(p.ImportPath, "trug/internal/app/apptest") &&
				(strings.HasPrefix(imp, "trug/internal/store/") || strings.HasPrefix(imp, "trug/internal/blob/")) {
				t.Errorf("%s imports the adapter %s: use cases know the interfaces alone", p.ImportPath, imp)
			}
		}
	}
}

// Rule 2: science computes; it imports nothing that touches the world.
func TestScienceTouchesNothing(t *testing.T) {
	banned := []string{"net", "os", "io/fs", "io/ioutil", "database/sql", "path/filepath", "syscall", "math/rand", "math/rand/v2", "log", "crypto/rand", "testing"}
	for _, p := range all(t) {
		if !under(p.ImportPath, "trug/science") && p.ImportPath != "trug" {
			continue
		}
		if len(p.CgoFiles) > 0 {
			t.Errorf("%s uses cgo", p.ImportPath)
		}
		for _, imp := range p.Imports {
			if slices.ContainsFunc(banned, func(b string) bool {
				return imp == b || b != "io/fs" && strings.HasPrefix(imp, b+"/") && !strings.HasPrefix(b, "math")
			}) {
				t.Errorf("%s imports %s: readers, clocks and random sources come as arguments", p.ImportPath, imp)
			}
		}
	}
}

// No package but those under bench uses cgo.
func TestNoCgo(t *testing.T) {
	for _, p := range all(t) {
		if len(p.CgoFiles) > 0 && !under(p.ImportPath, "trug/bench") {
			t.Errorf("%s uses cgo: %v", p.ImportPath, p.CgoFiles)
		}
	}
}

// Rule 3: what runs in the browser never reaches net/http, which triples it.
func TestBrowserBuildIsSmall(t *testing.T) {
	list, err := list("js", "./science/...", "./internal/offline", ".", "./cmd/trugwasm")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range list {
		if slices.Contains(p.Deps, "net/http") {
			t.Errorf("%s reaches net/http in the browser build", p.ImportPath)
		}
	}
}

// Each package says in one place what it is for.
func TestPackageDocs(t *testing.T) {
	for _, p := range all(t) {
		if len(p.GoFiles) > 0 && !strings.HasPrefix(p.Doc, "Package ") && !strings.HasPrefix(p.Doc, "Command ") {
			t.Errorf("%s has no package comment", p.ImportPath)
		}
	}
}

// A package whose name says nothing collects everything.
func TestNoDrawers(t *testing.T) {
	for _, p := range all(t) {
		for _, part := range strings.Split(p.ImportPath, "/") {
			if slices.Contains([]string{"util", "utils", "common", "helpers", "helper", "misc", "shared"}, part) {
				t.Errorf("%s: a package is named for its job", p.ImportPath)
			}
		}
	}
}
