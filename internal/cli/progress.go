package cli

import (
	"fmt"
	"os"
	"time"

	"trug"
)

// progress returns what tells progress on the terminal: a line that is
// written over, twice a second at most, and nothing when errors go to a file.
func (s *streams) progress() trug.Progress {
	f, ok := s.err.(*os.File)
	if !ok || s.json {
		return nil
	}
	if info, err := f.Stat(); err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	began, last := time.Now(), time.Time{}
	return func(done, total int, what string) {
		if done < total && time.Since(last) < time.Second/2 {
			return
		}
		last = time.Now()
		left := ""
		if done > 0 && done < total {
			left = fmt.Sprintf(", %s left", (time.Since(began) / time.Duration(done) * time.Duration(total-done)).Round(time.Second))
		}
		end := ""
		if done >= total {
			end = "\n"
		}
		fmt.Fprintf(s.err, "\r\x1b[K%d of %d %s%s%s", done, total, what, left, end)
	}
}
