// Package cli is the command line: one file a command, each printing plain
// text for people and, with --json, the same for programs. It reaches the
// stores through app alone.
package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"trug"
)

// Exit codes. 2 stays unused, because Go's own crash exits with it.
const (
	exitDone    = 0
	exitFailed  = 1
	exitPartly  = 3
	exitNoData  = 10
	exitLocked  = 11
	exitStopped = 130
)

// exit is an error that chooses its exit code.
type exit struct {
	code int
	err  error
}

func (e exit) Error() string { return e.err.Error() }
func (e exit) Unwrap() error { return e.err }

// streams are where a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
	json     bool
}

// Main runs the command line and returns the exit code.
func Main(args []string, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	s := &streams{in: os.Stdin, out: stdout, err: stderr}
	root := rootCommand(s)
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	if ctx.Err() != nil {
		return exitStopped
	}
	s.fault(err)
	return codeOf(err)
}

// codeOf returns the exit code of an error.
func codeOf(err error) int {
	var e exit
	if errors.As(err, &e) {
		return e.code
	}
	if trug.KindOf(err) == trug.Busy {
		return exitLocked
	}
	return exitFailed
}

// fault prints an error, as JSON under --json.
func (s *streams) fault(err error) {
	if !s.json {
		fmt.Fprintln(s.err, "trug:", err)
		return
	}
	_ = json.NewEncoder(s.err).Encode(map[string]any{"error": err.Error(), "code": codeOf(err)})
}

// show prints v as JSON, or runs plain.
func (s *streams) show(v any, plain func()) error {
	if !s.json {
		plain()
		return nil
	}
	e := json.NewEncoder(s.out)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

func rootCommand(s *streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "trug",
		Short: "Run a fungal bioblitz: records, determinations, deposits",
		Long: `Trug runs a fungal bioblitz: people photograph and describe fungi, determiners
put names to them, and the season's data are deposited in open standards.

EXIT STATUS
  0 done, 1 failed, 3 partly done, 10 no season in the folder,
  11 the folder is in use by another Trug, 130 stopped by Ctrl-C.`,
		SilenceUsage: true, SilenceErrors: true, Version: version(),
	}
	root.PersistentFlags().BoolVar(&s.json, "json", false, "print JSON for programs")
	root.AddCommand(demoCommand(s), serveCommand(s), inviteCommand(s), intakeCommand(s), depositCommand(s), readCommand(s), checkCommand(s), keyCommand(s), cardCommand(s), measureCommand(s))
	return root
}
