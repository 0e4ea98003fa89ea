package archtest

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"trug/science/said"
)

// toRecorders are the files whose errors recorders and leaders in the field
// meet: the errors of others are for desks, which stay in English.
var toRecorders = []string{
	"record.go", "when.go", "request.go", "sizes.go", "colours.go",
	"internal/app/account.go", "internal/app/advise.go", "internal/app/colourfills.go", "internal/app/colours.go", "internal/app/crop.go", "internal/app/daybook.go",
	"internal/app/entry.go", "internal/app/fieldcode.go", "internal/app/guesses.go", "internal/app/heads.go", "internal/app/invitations.go", "internal/app/kept.go", "internal/app/keptexport.go",
	"internal/app/marks.go", "internal/app/messages.go", "internal/app/passkeys.go", "internal/app/photographs.go", "internal/app/phrase.go", "internal/app/prompts.go",
	"internal/app/quota.go", "internal/app/requests.go", "internal/app/room.go", "internal/app/save.go", "internal/app/sessions.go", "internal/app/setsentences.go",
	"internal/app/sheet.go", "internal/app/shot.go", "internal/app/signups.go", "internal/app/sizes.go", "internal/app/takeout.go", "internal/app/thekey.go",
	"internal/app/uploads.go", "internal/app/viewcard.go", "internal/app/viewer.go", "internal/app/wishes.go", "internal/app/withdraw.go",
	"internal/blob/disk/uploads.go", "internal/offline/message.go", "internal/signin/code.go", "internal/signin/phrase.go", "internal/signin/password.go",
	"science/describe/answer.go", "science/describe/span.go", "science/place/parse.go", "science/place/scan.go", "science/place/position.go",
	"internal/web/problem.go", "internal/web/web.go", "internal/web/pages.go",
}

// formats tells at which argument the words of an error or note stand.
var formats = map[string]int{"Errorf": 2, "add": 1, "fault": 1, "note": 1, "say": 1, "tell": 2, "problem": 1, "Of": 0}

// What Go says to recorders stands in a file by which the screens' catalogues
// are held complete: write it anew with WRITE=1 after a change of words.
func TestSentencesAreWrittenDown(t *testing.T) {
	const file = "../web/ui/src/words/from-go/said.json"
	found := map[string]bool{}
	for _, folder := range []string{".", "science/*", "internal/app", "internal/web", "internal/blob/disk", "internal/offline", "internal/signin"} {
		paths, err := filepath.Glob(filepath.Join("../..", folder, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			if !strings.HasSuffix(path, "_test.go") && !strings.Contains(path, "science/said/") && !strings.Contains(path, "science/advice/") {
				gather(t, path, found)
			}
		}
	}
	if len(found) < 200 {
		t.Fatalf("only %d sentences were found", len(found))
	}
	text, err := json.MarshalIndent(slices.Sorted(maps.Keys(found)), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	text = append(text, '\n')
	if os.Getenv("WRITE") != "" {
		if err := os.WriteFile(file, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if kept, err := os.ReadFile(file); err != nil || string(kept) != string(text) {
		t.Errorf("%s does not hold what Go says: run WRITE=1 go test ./internal/archtest -run Sentences, and translate what is new: %v", file, err)
	}
}

// gather adds the words of a file: of said.As and said.Words, of maps of such
// words and functions that return them, and of errors that recorders meet.
func gather(t *testing.T, path string, found map[string]bool) {
	t.Helper()
	tree, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	rel, _ := filepath.Rel("../..", path)
	errors := slices.Contains(toRecorders, filepath.ToSlash(rel)) || slices.ContainsFunc([]string{"photo", "measure", "truecolour", "card"}, func(p string) bool { return strings.HasPrefix(rel, filepath.Join("science", p)) })
	words := func(e ast.Expr) {
		if text, ok := literal(tree, e); ok && strings.ContainsFunc(text, isLetter) {
			found[text] = true
		}
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			if n.Type.Results != nil && len(n.Type.Results.List) == 1 && isWords(n.Type.Results.List[0].Type) {
				ast.Inspect(n.Body, func(n ast.Node) bool {
					if r, ok := n.(*ast.ReturnStmt); ok {
						words(r.Results[0])
					}
					return true
				})
			}
		case *ast.ValueSpec:
			// Ways in, treatments and what may be done are words as they stand.
			if of, ok := n.Type.(*ast.Ident); ok && slices.Contains([]string{"Action", "WayIn", "Treatment"}, of.Name) {
				for _, e := range n.Values {
					words(e)
				}
			}
		case *ast.CompositeLit:
			if holdsWords(n.Type) {
				for _, e := range n.Elts {
					if pair, ok := e.(*ast.KeyValueExpr); ok {
						e = pair.Value
					}
					words(e)
				}
			}
		case *ast.CallExpr:
			name, of := called(n)
			switch {
			case of == "said" && (name == "As" || name == "Words"), name == "instead":
				words(n.Args[0])
			case name == "keptPart":
				for _, e := range n.Args {
					words(e)
				}
			case errors || of == "said" && name == "Of":
				at, ok := formats[name]
				if of == "said" {
					at = 0
				}
				if ok && of != "fmt" && at < len(n.Args) {
					if text, ok := literal(tree, n.Args[at]); ok && strings.ContainsFunc(string(said.Key(text)), isLetter) {
						found[string(said.Key(text))] = true
					}
				}
			}
		}
		return true
	})
}

func isLetter(r rune) bool { return 'a' <= r && r <= 'z' }

// called is the name of what is called, and the package or thing that it is of.
func called(c *ast.CallExpr) (name, of string) {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name, ""
	case *ast.SelectorExpr:
		if x, ok := f.X.(*ast.Ident); ok {
			of = x.Name
		}
		return f.Sel.Name, of
	}
	return "", ""
}

// isWords reports whether a type is said.Words, holdsWords whether it is a map or list of them.
func isWords(e ast.Expr) bool {
	s, ok := e.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	x, ok := s.X.(*ast.Ident)
	return ok && x.Name == "said" && s.Sel.Name == "Words"
}

func holdsWords(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.MapType:
		return isWords(e.Value)
	case *ast.ArrayType:
		return isWords(e.Elt)
	}
	return false
}

// literal is the text of a string, of several joined, or of a constant of the same file.
func literal(tree *ast.File, e ast.Expr) (string, bool) {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return text, err == nil && e.Kind == token.STRING
	case *ast.BinaryExpr:
		x, ok := literal(tree, e.X)
		y, also := literal(tree, e.Y)
		return x + y, ok && also
	case *ast.Ident:
		for _, d := range tree.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok != token.CONST {
				continue
			}
			for _, s := range g.Specs {
				v := s.(*ast.ValueSpec)
				for i, name := range v.Names {
					if name.Name == e.Name && i < len(v.Values) {
						return literal(tree, v.Values[i])
					}
				}
			}
		}
	}
	return "", false
}
