package sqlite

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// tryLock locks the file, or returns errLocked when another process has it.
// The byte that is locked lies far behind the text, which stays readable.
func tryLock(f *os.File) error {
	const exclusiveAtOnce = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(f.Fd()), exclusiveAtOnce, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return errLocked
	}
	return err
}
