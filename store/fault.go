package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"io"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/ncruces/go-sqlite3"

	"raftwright/finding"
)

// Faults of what was asked. Each names the Thing that is meant (a word of lang) and its ID.
const (
	FaultNotFound    finding.ID = "store.fault.not_found"    // there is none, or none that this person may see
	FaultRemoved     finding.ID = "store.fault.removed"      // a bed that was removed on a Day, and can be brought back Until another
	FaultGone        finding.ID = "store.fault.gone"         // a bed that was removed, for good
	FaultConflict    finding.ID = "store.fault.conflict"     // the same id was kept with another content
	FaultStale       finding.ID = "store.fault.stale"        // somebody changed it meanwhile
	FaultForbidden   finding.ID = "store.fault.forbidden"    // seen, but not for this person to do
	FaultText        finding.ID = "store.fault.text"         // a text that is too long or holds what is no text
	FaultID          finding.ID = "store.fault.no_id"        // no UUID
	FaultTwice       finding.ID = "store.fault.twice"        // a Key that an entry has twice
	FaultTime        finding.ID = "store.fault.time"         // before 1970 or after 2200
	FaultPhoto       finding.ID = "store.fault.photo"        // no picture, too large, or with more in it than the picture
	FaultPhotos      finding.ID = "store.fault.photos"       // too many
	FaultNamed       finding.ID = "store.fault.named"        // a Name that another record of the table has
	FaultTaken       finding.ID = "store.fault.taken"        // another person has the name
	FaultPassword    finding.ID = "store.fault.password"     // too short
	FaultSignIn      finding.ID = "store.fault.sign_in"      // name and password do not go together
	FaultStrict      finding.ID = "store.fault.strict"       // name and password are right, and a passkey is asked for
	FaultAgain       finding.ID = "store.fault.again"        // signed in too long ago to change how one signs in
	FaultPasskeys    finding.ID = "store.fault.passkeys"     // too many, or one that is there
	FaultLastPasskey finding.ID = "store.fault.last_passkey" // without a passkey nobody could sign in
	FaultOften       finding.ID = "store.fault.often"        // tried too often
	FaultNotEmpty    finding.ID = "store.fault.not_empty"    // a restore into a store that holds something
	FaultInUse       finding.ID = "store.fault.in_use"       // a File that is a store at work, not a backup
	FaultThere       finding.ID = "store.fault.there"        // a File that would be written over
	FaultUnread      finding.ID = "store.fault.unread"       // a File
	FaultUnwritten   finding.ID = "store.fault.unwritten"    // a File
	FaultImport      finding.ID = "store.fault.import"       // a line of an import
)

// Faults of the store itself. Each names the Store.
const (
	FaultForeign     finding.ID = "store.fault.foreign"     // not a store of ours
	FaultNewer       finding.ID = "store.fault.newer"       // of a newer program
	FaultUnfinished  finding.ID = "store.fault.unfinished"  // its tables are not those of its version
	FaultAddress     finding.ID = "store.fault.address"     // no address of a database
	FaultUnreachable finding.ID = "store.fault.unreachable" // no connection to the database
	FaultBusy        finding.ID = "store.fault.busy"        // others wrote for longer than we waited
	FaultFull        finding.ID = "store.fault.full"        // no room on the disk
	FaultReadOnly    finding.ID = "store.fault.read_only"
	FaultMissing     finding.ID = "store.fault.missing" // the folder is not there, or not ours to read
	FaultStopped     finding.ID = "store.fault.stopped" // whoever asked went away
	FaultBroken      finding.ID = "store.fault.broken"  // anything else: the Reason is the database's
)

// Is tells whether an error is a fault with a code.
func Is(err error, id finding.ID) bool {
	var f finding.Fault
	return errors.As(err, &f) && f.ID == id
}

// fault gives an error of the database as a fault; one that is already one stays.
func (s *Store) fault(err error) error {
	if err == nil {
		return nil
	}
	var known finding.Fault
	if errors.As(err, &known) {
		return known
	}
	f := finding.Fault{ID: FaultBroken, Args: finding.Args{"Store": s.where, "Reason": reason(err)}}
	var server *pgconn.PgError
	var network net.Error
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded), errors.Is(err, sqlite3.INTERRUPT):
		f.ID = FaultStopped
	case !s.lite && errors.As(err, &network): // also where the socket of a server is not there
		f.ID = FaultUnreachable
	case errors.Is(err, sqlite3.NOTADB):
		f.ID = FaultForeign
	case errors.Is(err, sqlite3.FULL), errors.Is(err, syscall.ENOSPC), s.lite && errors.Is(err, sqlite3.IOERR) && full(s.where):
		f.ID = FaultFull
	case errors.Is(err, sqlite3.BUSY), errors.Is(err, sqlite3.LOCKED):
		f.ID = FaultBusy
	case errors.Is(err, sqlite3.READONLY), errors.Is(err, syscall.EROFS):
		f.ID = FaultReadOnly
	case errors.Is(err, sqlite3.CANTOPEN), errors.Is(err, fs.ErrNotExist), errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.ENOTDIR), errors.Is(err, syscall.EISDIR):
		f.ID = FaultMissing
	case errors.As(err, &server):
		f.ID = serverFault(server.Code)
	case errors.Is(err, driver.ErrBadConn), errors.Is(err, sql.ErrConnDone), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		f.ID = FaultUnreachable
	}
	return f
}

// reason is what the system says, on one line and without the file, which is told beside it.
func reason(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return strings.Join(strings.Fields(err.Error()), " ")
}

// full looks whether the disk of a file has no room: SQLite tells that of its own files
// beside the store as any fault of reading and writing.
func full(file string) bool {
	f, err := os.CreateTemp(filepath.Dir(file), ".raftwright-*")
	if err != nil {
		return errors.Is(err, syscall.ENOSPC)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(make([]byte, 64<<10))
	return errors.Is(errors.Join(err, f.Close()), syscall.ENOSPC)
}

// serverFault reads a code of PostgreSQL (its manual, appendix A).
func serverFault(code string) finding.ID {
	switch {
	case code == "53100": // disk_full
		return FaultFull
	case code == "25006": // read_only_sql_transaction
		return FaultReadOnly
	case code == "55P03", strings.HasPrefix(code, "40"): // lock_not_available, a rollback that may be tried again
		return FaultBusy
	case code == "57014": // query_canceled
		return FaultStopped
	case strings.HasPrefix(code, "08"), strings.HasPrefix(code, "57P"), strings.HasPrefix(code, "53"), strings.HasPrefix(code, "28"), code == "3D000":
		return FaultUnreachable // no connection, shut down, too many, not let in, no such database
	}
	return FaultBroken
}

// missing makes what the database does not have a fault that names the thing.
func missing(err error, thing finding.Word, id string) error {
	if errors.Is(err, sql.ErrNoRows) {
		return finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": thing, "Name": id}}
	}
	return err
}

// forbidden is the fault of somebody who may see a thing but not do this to it.
func forbidden(thing finding.Word, id string) error {
	return finding.Fault{ID: FaultForbidden, Args: finding.Args{"Thing": thing, "Name": id}}
}
