package disk

import (
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// The free bytes are those that df of the machine tells (POSIX df -Pk).
func TestFreeIsWhatDfTells(t *testing.T) {
	df, err := exec.LookPath("df")
	if err != nil {
		t.Skip("this machine has no df")
	}
	dir := t.TempDir()
	s, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	free, err := s.Free()
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(df, "-Pk", dir).Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	fields := strings.Fields(lines[len(lines)-1])
	kilobytes, err := strconv.ParseInt(fields[3], 10, 64)
	if err != nil {
		t.Fatalf("df says %q", lines)
	}
	// Others write at the same time.
	if diff := free - kilobytes<<10; diff > 1<<30 || diff < -1<<30 {
		t.Errorf("%d bytes free, df says %d", free, kilobytes<<10)
	}
}
