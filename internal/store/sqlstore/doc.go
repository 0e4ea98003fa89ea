// Package sqlstore is the SQL that the databases share: a store.Store over
// database/sql with numbered placeholders, a table for each kind and the
// append-only table of amendments. What differs between databases stands in a
// Dialect; sqlite is one, and a new one has to pass storetest.
//
// Writers go one after another, whatever the database: an amendment's number
// is then one more than the last, without gaps, in the order of commits, and
// a reader that asks for what came after a number misses nothing.
package sqlstore
