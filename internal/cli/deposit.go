package cli

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"trug"
	"trug/internal/app"
	"trug/internal/dwca"
)

func depositCommand(s *streams) *cobra.Command {
	var data, out, address string
	c := &cobra.Command{
		Use:   "deposit [SEASON] --out FILE.zip",
		Short: "Write what the next deposit would be: a Darwin Core Archive",
		Long: `Writes the season as outsiders may see it, as a Darwin Core Archive with
events, occurrences, photographs and determinations, and reads it back before it
is kept. Protected finds bear the season's area and the month alone. Nothing is
published: numbering a version is done on the Deposits page.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a, closeData, err := openData(c.Context(), data, opening{how: toWork, address: address})
			if err != nil {
				return err
			}
			defer closeData()
			code := ""
			if len(args) > 0 {
				code = args[0]
			}
			season, err := a.SeasonByCode(c.Context(), code)
			if err != nil {
				return err
			}
			// What a server that was stopped left. Where one photograph can't be made
			// ready, the archive says whether it needs it.
			undeveloped := a.DevelopAll(c.Context())
			var archive bytes.Buffer
			counts, err := a.WriteArchive(c.Context(), app.Desk(season.ID), &archive)
			if err != nil {
				return cmp.Or(undeveloped, err)
			}
			if err := writeNew(out, archive.Bytes()); err != nil {
				return err
			}
			return s.show(counts, func() {
				fmt.Fprintf(s.out, "%s: %d records, %d photographs, %d determinations, %d forays; %d records with the place withheld.\n",
					out, counts.Finds, counts.Views, counts.Determinations, counts.Forays, counts.Generalised)
			})
		},
	}
	c.Flags().StringVar(&data, "data", "trug-data", "folder of the season's data")
	c.Flags().StringVar(&out, "out", "", "file to write")
	c.Flags().StringVar(&address, "public-address", "", "address under which outsiders reach the server; identifiers begin with it")
	_ = c.MarkFlagRequired("out")
	return c
}

// writeNew writes a file whole or not at all.
func writeNew(path string, data []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".deposit-*")
	if err != nil {
		return fmt.Errorf("%s can't be written: %w", path, err)
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("%s can't be written: %w", path, err), os.Remove(f.Name()))
	}
	return nil
}

func readCommand(s *streams) *cobra.Command {
	return &cobra.Command{
		Use:   "read FILE.zip",
		Short: "Read a deposit that Trug wrote and say what it holds",
		Long: `Reads a deposit written by Trug back into records and prints what it holds;
with --json all of it. Anything else is refused with a sentence.`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := readDeposit(args[0])
			if err != nil {
				return err
			}
			return s.show(d, func() { s.deposit(args[0], d) })
		},
	}
}

func readDeposit(path string) (dwca.Dataset, error) {
	f, err := os.Open(path)
	if err != nil {
		return dwca.Dataset{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return dwca.Dataset{}, err
	}
	if info.IsDir() {
		return dwca.Dataset{}, trug.Errorf(trug.Invalid, path, "this is a folder: give the zip file of a deposit")
	}
	d, err := dwca.Read(f, info.Size(), dwca.DefaultLimits)
	if err != nil {
		return d, fmt.Errorf("%s: %w", path, err)
	}
	return d, nil
}

func (s *streams) deposit(path string, d dwca.Dataset) {
	c := dwca.Summary(d)
	fmt.Fprintf(s.out, "%s\n%s, version %d of %s\n", path, d.Title, d.Number, d.Date)
	fmt.Fprintf(s.out, "%d records, %d of them named, %d to species; %d photographs, %d determinations, %d forays.\n",
		c.Finds, c.Named, c.Species, c.Views, c.Determinations, c.Forays)
	fmt.Fprintf(s.out, "The place of %d records is withheld.\n", c.Generalised)
}

func checkCommand(s *streams) *cobra.Command {
	var data string
	c := &cobra.Command{
		Use:   "check",
		Short: "Prove that records, history and photographs of a folder agree",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, closeData, err := openData(c.Context(), data, opening{how: toWork})
			if err != nil {
				return err
			}
			defer closeData()
			faults, err := a.CheckStore(c.Context(), s.progress())
			if err != nil {
				return err
			}
			if err := s.show(map[string]any{"faults": faults}, func() {
				for _, f := range faults {
					fmt.Fprintln(s.out, f)
				}
				if len(faults) == 0 {
					fmt.Fprintln(s.out, "Rows, history and files agree.")
				}
			}); err != nil || len(faults) == 0 {
				return err
			}
			return fmt.Errorf("%d faults: restore the folder from a backup, or ask for help with the lines above", len(faults))
		},
	}
	c.Flags().StringVar(&data, "data", "trug-data", "folder of the season's data")
	return c
}
