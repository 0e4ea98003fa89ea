package sqlite

import (
	"errors"

	driver "modernc.org/sqlite"
	codes "modernc.org/sqlite/lib"

	"trug"
)

// explain says what a result code means for whoever runs Trug; nil for codes
// that tell of a fault in the program. It goes by codes alone, since the texts
// change between versions (https://www.sqlite.org/rescode.html).
func explain(err error) error {
	var e *driver.Error
	if !errors.As(err, &e) {
		return nil
	}
	switch e.Code() {
	case codes.SQLITE_CONSTRAINT_UNIQUE, codes.SQLITE_CONSTRAINT_PRIMARYKEY:
		return caused(trug.Conflict, err, "something of that name or number is already there: choose another")
	}
	const primary = 0xff // the low byte of an extended result code
	switch e.Code() & primary {
	case codes.SQLITE_BUSY, codes.SQLITE_LOCKED:
		return caused(trug.Busy, err, "the data are being written by another program: try again in a moment")
	case codes.SQLITE_FULL:
		return caused(trug.Internal, err, "the disk is full and nothing more can be saved: make room, then try again")
	case codes.SQLITE_NOTADB:
		return caused(trug.Invalid, err, "the database file is not one of Trug: put the right file back, or choose another data folder")
	case codes.SQLITE_CORRUPT:
		return caused(trug.Internal, err, "the database file is damaged: stop Trug, keep the file, and restore the last backup")
	case codes.SQLITE_CANTOPEN:
		return caused(trug.NotFound, err, "the database file can't be opened: see that its folder is there and may be read and written")
	case codes.SQLITE_READONLY, codes.SQLITE_PERM:
		return caused(trug.Internal, err, "the database file may not be written: give Trug write access to its folder and the files in it")
	case codes.SQLITE_IOERR:
		return caused(trug.Internal, err, "the disk can't be read or written: look after the disk, then start Trug again")
	}
	return nil
}

func caused(kind trug.ErrorKind, err error, says string) error {
	return &trug.Error{Kind: kind, Says: says, Err: err}
}
