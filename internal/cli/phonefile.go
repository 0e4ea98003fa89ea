package cli

import (
	"context"
	"fmt"
	"os"
	"strings"

	"trug/internal/app"
	"trug/internal/offline"
)

// openedFile is a phone's file, or nothing where the path names no zip.
type openedFile struct {
	file  *offline.File
	close func()
}

// phoneFile opens a phone's file. A folder is none, and neither is what bears
// another name: that is left to whoever reads folders.
func phoneFile(path string) (openedFile, error) {
	none := openedFile{close: func() {}}
	info, err := os.Stat(path)
	if err != nil || info.IsDir() || !strings.HasSuffix(strings.ToLower(path), ".zip") {
		return none, nil // whoever reads folders says what is wrong
	}
	f, err := os.Open(path)
	if err != nil {
		return none, err
	}
	read, err := offline.ReadFile(f, info.Size())
	if err != nil {
		_ = f.Close()
		return none, err
	}
	return openedFile{&read, func() { _ = f.Close() }}, nil
}

// phoneFileShown is what is printed of a phone's file.
type phoneFileShown struct {
	Season   string              `json:"season"`
	Recorder string              `json:"recorder"`
	Records  int                 `json:"records"`
	Written  bool                `json:"written"`
	Answers  []app.MessageAnswer `json:"answers,omitempty"`
}

// takeFile lists the records of a phone's file, and writes them when told to.
func (s *streams) takeFile(ctx context.Context, a *app.App, v app.Viewer, f offline.File, apply bool) error {
	shown := phoneFileShown{Season: f.Season, Recorder: f.Recorder, Records: len(f.Messages), Written: apply}
	if apply {
		answers, err := a.TakeFile(ctx, v, f, s.progress())
		if err != nil {
			return err
		}
		shown.Answers = answers
	}
	if err := s.show(shown, func() { s.phoneFile(shown, v.Person.Name, f) }); err != nil {
		return err
	}
	left := 0
	for _, answer := range shown.Answers {
		if answer.State != "taken" {
			left++
		}
	}
	if left > 0 {
		return exit{exitPartly, fmt.Errorf("%d records were left out: the lines above say why", left)}
	}
	return nil
}

func (s *streams) phoneFile(shown phoneFileShown, who string, f offline.File) {
	fmt.Fprintf(s.out, "A phone's file of season %.20q, recorder as the phone knew them: %.60q.\n", shown.Season, shown.Recorder)
	for i, m := range f.Messages {
		if !shown.Written {
			fmt.Fprintf(s.out, "%d: %s, %d photographs\n", i+1, strings.TrimSpace(foundOf(m)), len(m.Views))
			continue
		}
		answer := shown.Answers[i]
		switch answer.State {
		case "taken":
			fmt.Fprintf(s.out, "%d: record %s\n", i+1, answer.FieldNumber)
		default:
			fmt.Fprintf(s.out, "%d: NOT WRITTEN: %s\n", i+1, strings.TrimSpace(answer.Says+" "+faultsOf(answer)))
		}
	}
	if !shown.Written {
		fmt.Fprintf(s.out, "Nothing is written yet. Add --apply to write it for %s.\n", who)
	}
}

// foundOf returns the day as the message says it, for printing.
func foundOf(m offline.Message) string { return fmt.Sprintf("%.60q", string(m.Set["found"])) }

func faultsOf(answer app.MessageAnswer) string {
	var says []string
	for _, f := range answer.Faults {
		if f.Says != answer.Says {
			says = append(says, f.Says)
		}
	}
	return strings.Join(says, " ")
}
