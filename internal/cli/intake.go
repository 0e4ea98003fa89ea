package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"trug"
	"trug/internal/app"
	"trug/science/place"
)

func intakeCommand(s *streams) *cobra.Command {
	var data, season, recorder, day string
	var apply bool
	o := app.DefaultIntake
	apart := float64(o.Apart)
	c := &cobra.Command{
		Use:   "intake FOLDER|FILE --recorder CODE",
		Short: "Sort a folder of photographs into finds, or read the records that a phone wrote as a file",
		Long: `Reads the photographs of a folder handed in on a memory card, sorts them into
finds by the pauses between them and by place, proposes which view each is, and
prints the proposal. With --apply it is written. Taking the same folder in twice
adds nothing.

A FILE is a zip that the app wrote on a phone that had no network; its records are
listed, and written with --apply. Taking it in twice adds nothing, and neither does
the phone when it sends them after all.

EXIT STATUS
  3 when some files or finds were left out; each says why.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			phone, err := phoneFile(args[0])
			if err != nil {
				return err
			}
			defer phone.close()
			var files []app.IntakeFile
			if phone.file == nil {
				files, err = folder(args[0])
			}
			if err != nil {
				return err
			}
			a, closeData, err := openData(c.Context(), data, opening{how: toWork})
			if err != nil {
				return err
			}
			defer closeData()
			sn, err := a.SeasonByCode(c.Context(), season)
			if err != nil {
				return err
			}
			p, err := a.PersonByCode(c.Context(), sn.ID, recorder)
			if err != nil {
				return err
			}
			o.Day, o.Apart = trug.Date(day), place.Metres(apart)
			v := app.Viewer{Season: sn.ID, Person: &p}
			if phone.file != nil {
				return s.takeFile(c.Context(), a, v, *phone.file, apply)
			}
			proposal, err := a.ProposeIntake(c.Context(), v, files, o, s.progress())
			if err == nil && apply {
				err = a.ApplyIntake(c.Context(), v, &proposal, o, s.progress())
			}
			if err != nil {
				return err
			}
			if err := s.show(proposal, func() { s.proposal(proposal, p, apply) }); err != nil {
				return err
			}
			return leftOut(proposal)
		},
	}
	c.Flags().StringVar(&data, "data", "trug-data", "folder of the season's data")
	c.Flags().StringVar(&season, "season", "", "code of the season, where the folder holds several")
	c.Flags().StringVar(&recorder, "recorder", "", "code or name of the recorder whose photographs they are")
	c.Flags().StringVar(&day, "day", "", "day for photographs whose camera tells none, such as 2026-10-10")
	c.Flags().DurationVar(&o.Gap, "gap", o.Gap, "pause after which another find begins")
	c.Flags().Float64Var(&apart, "apart", apart, "metres from which another find begins, beyond what the phones are unsure of")
	c.Flags().BoolVar(&o.KeepOutside, "keep-outside", false, "take finds outside the season's area or dates as right")
	c.Flags().BoolVar(&apply, "apply", false, "write the proposal")
	_ = c.MarkFlagRequired("recorder")
	return c
}

// folder lists the files of a folder and its sub-folders, without hidden ones.
func folder(dir string) ([]app.IntakeFile, error) {
	info, err := os.Stat(dir)
	if err != nil {
		return nil, fmt.Errorf("%s can't be opened: %w", dir, err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s is a file: intake reads a folder, or a zip that the app wrote on a phone (a zip of photographs is unpacked into a folder first)", dir)
	}
	var files []app.IntakeFile
	err = filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if strings.HasPrefix(d.Name(), ".") && path != dir {
			if d.IsDir() {
				return filepath.SkipDir
			}
			return nil
		}
		if d.Type().IsRegular() {
			name, _ := filepath.Rel(dir, path)
			files = append(files, app.IntakeFile{Name: filepath.ToSlash(name), Read: func() ([]byte, error) { return readFile(path) }})
		}
		return nil
	})
	if err == nil && len(files) == 0 {
		err = fmt.Errorf("the folder %s holds no files", dir)
	}
	return files, err
}

// readFile reads a file up to the size that a photograph may have.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, app.MaxPhotographBytes+1))
	if err == nil && len(data) > app.MaxPhotographBytes {
		err = trug.Errorf(trug.TooLarge, "", "the file is over %d MB: hand in the camera's JPEG or HEIC", app.MaxPhotographBytes>>20)
	}
	return data, err
}

// proposal prints a proposal as a table.
func (s *streams) proposal(p app.Proposal, who trug.Person, applied bool) {
	w := tabwriter.NewWriter(s.out, 0, 4, 2, ' ', 0)
	fmt.Fprintln(w, "find\tfound\twhere\tview\tfile")
	for i, f := range p.Finds {
		head := fmt.Sprintf("%d\t%s\t%s", i+1, strings.TrimSpace(string(f.Found.Date)+" "+clock(f.Found)), f.Words)
		for k, view := range f.Views {
			if k > 0 {
				head = "\t\t"
			}
			fmt.Fprintf(w, "%s\t%s\t%s\n", head, view.Kind, view.File)
		}
		for _, line := range outcome(f) {
			fmt.Fprintf(w, "\t\t\t%s\n", line)
		}
	}
	_ = w.Flush()
	for _, r := range p.Refused {
		fmt.Fprintf(s.out, "left out: %s: %s\n", r.File, r.Says)
	}
	if p.Already > 0 {
		fmt.Fprintf(s.out, "%d photographs are in records already.\n", p.Already)
	}
	switch {
	case len(p.Finds) == 0:
		fmt.Fprintln(s.out, "Nothing new.")
	case applied:
		fmt.Fprintf(s.out, "Written for %s.\n", who.Name)
	default:
		fmt.Fprintf(s.out, "Nothing is written yet. Look the proposal over, then add --apply to write it for %s.\n", who.Name)
	}
}

func clock(w trug.When) string {
	if len(w.Time) >= 5 {
		return w.Time[:5]
	}
	return ""
}

func outcome(f app.ProposedFind) []string {
	var lines []string
	if f.Adds != "" {
		lines = append(lines, "goes to record "+f.Adds)
	}
	lines = append(lines, f.Remarks...)
	if f.Record != "" {
		lines = append(lines, "record "+f.Record)
	}
	if f.Failed != "" {
		lines = append(lines, "NOT WRITTEN: "+f.Failed)
	}
	return lines
}

// leftOut is an error when part of the folder was not taken.
func leftOut(p app.Proposal) error {
	n := len(p.Refused)
	for _, f := range p.Finds {
		if f.Failed != "" {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return exit{exitPartly, fmt.Errorf("%d files or finds were left out: the lines above say why", n)}
}
