//go:build darwin || freebsd || linux

package disk

import "golang.org/x/sys/unix"

// Free returns how many bytes of the store's disk are free to this process.
func (s *Store) Free() (int64, error) {
	var f unix.Statfs_t
	if err := unix.Statfs(s.dir, &f); err != nil {
		return 0, err
	}
	return int64(f.Bavail) * int64(f.Bsize), nil
}
