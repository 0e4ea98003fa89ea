package disk

import "golang.org/x/sys/windows"

// Free returns how many bytes of the store's disk are free to this process.
func (s *Store) Free() (int64, error) {
	dir, err := windows.UTF16PtrFromString(s.dir)
	if err != nil {
		return 0, err
	}
	var free uint64
	err = windows.GetDiskFreeSpaceEx(dir, &free, nil, nil)
	return int64(min(free, 1<<62)), err
}
