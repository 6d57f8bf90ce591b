package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"raftwright/finding"
	"raftwright/store"
)

// keeping says where things are kept.
type keeping struct {
	Data     string `placeholder:"DIR"`
	Database string `placeholder:"URL"`
}

type (
	backupCmd struct {
		keeping
		File string `arg:""`
	}
	restoreCmd struct {
		keeping
		File string `arg:""`
	}
	exportCmd struct {
		keeping
		Dir string `arg:""`
	}
	importCmd struct {
		keeping
		Dir string `arg:""`
	}
	accountCmd struct {
		Add accountAddCmd `cmd:""`
	}
	keyCmd struct {
		Add keyAddCmd `cmd:""`
	}
	accountAddCmd struct {
		keeping
		Name    string     `arg:""`
		Role    store.Role `default:"educator" placeholder:"ROLE"`
		Contact string     `placeholder:"TEXT"`
	}
	keyAddCmd struct {
		keeping
		Name string `arg:""`
		Bed  string `placeholder:"ID"`
	}
)

// Faults of where things are kept.
const (
	FaultKeptTwice finding.ID = "command.fault.kept_twice" // --data and --database
	FaultNoFolder  finding.ID = "command.fault.no_folder"  // the system names no folder of the user
	FaultNoStore   finding.ID = "command.fault.no_store"   // nothing is kept there yet
	FaultRole      finding.ID = "command.fault.role"
)

// folder is the folder in which things are kept.
func (k keeping) folder() (string, error) {
	if k.Data != "" {
		return k.Data, nil
	}
	own, err := os.UserConfigDir()
	if err != nil {
		return "", finding.Fault{ID: FaultNoFolder}
	}
	return filepath.Join(own, "raftwright"), nil
}

// use opens the store for a command and closes it afterwards. One that is not there yet is
// made where that is wanted.
func (k keeping) use(make bool, do func(ctx context.Context, s *store.Store) error) error {
	where := k.Database
	if where != "" && k.Data != "" {
		return finding.Fault{ID: FaultKeptTwice}
	}
	if where == "" {
		dir, err := k.folder()
		if err != nil {
			return err
		}
		where = store.InFolder(dir)
		if _, err := os.Stat(where); errors.Is(err, os.ErrNotExist) && !make {
			return finding.Fault{ID: FaultNoStore, Args: finding.Args{"Store": dir}}
		}
	}
	ctx := context.Background()
	s, err := store.Open(ctx, where)
	if err != nil {
		return err
	}
	return errors.Join(do(ctx, s), s.Close())
}

// useFull uses a store in which something is kept: whoever named the wrong one shall not hold a copy of nothing for a backup.
func (k keeping) useFull(do func(ctx context.Context, s *store.Store) error) error {
	return k.use(false, func(ctx context.Context, kept *store.Store) error {
		empty, err := kept.Empty(ctx)
		switch {
		case err != nil:
			return err
		case empty:
			return finding.Fault{ID: FaultNoStore, Args: finding.Args{"Store": kept.Where()}}
		}
		return do(ctx, kept)
	})
}

// Run writes all that is kept into one file.
func (c backupCmd) Run(s streams) error {
	return c.useFull(func(ctx context.Context, kept *store.Store) error {
		return s.did(kept.Backup(ctx, c.File), "keep.backed_up", finding.Args{"File": c.File})
	})
}

// Run fills an empty store from a backup.
func (c restoreCmd) Run(s streams) error {
	return c.use(true, func(ctx context.Context, kept *store.Store) error {
		return s.did(kept.Restore(ctx, c.File), "keep.restored", finding.Args{"Store": kept.Where()})
	})
}

// Run writes all that is kept as open files.
func (c exportCmd) Run(s streams) error {
	return c.useFull(func(ctx context.Context, kept *store.Store) error {
		return s.did(kept.Export(ctx, c.Dir), "keep.exported", finding.Args{"File": c.Dir})
	})
}

// Run fills an empty store from open files.
func (c importCmd) Run(s streams) error {
	return c.use(true, func(ctx context.Context, kept *store.Store) error {
		return s.did(kept.Import(ctx, c.Dir), "keep.imported", finding.Args{"Store": kept.Where()})
	})
}

// Run opens an account, with the password on standard input. An account without one, as
// after an import, gets it.
func (c accountAddCmd) Run(s streams) error {
	roles := store.Roles()
	known := false
	for _, r := range roles {
		known = known || r == c.Role
	}
	if !known {
		return finding.Fault{ID: FaultRole, Args: finding.Args{"Role": string(c.Role), "Known": finding.AnyOf{string(roles[0]), string(roles[1]), string(roles[2])}}}
	}
	password, err := bufio.NewReader(io.LimitReader(s.in, 4096)).ReadString('\n')
	if err != nil && err != io.EOF {
		return unread("-", err)
	}
	password = strings.TrimRight(password, "\r\n")
	return c.use(true, func(ctx context.Context, kept *store.Store) error {
		p, bare, err := kept.Named(ctx, store.Holder(), c.Name)
		switch {
		case err == nil && bare:
			err = kept.SetPassword(ctx, store.Holder(), p.Account, password)
		case err == nil || store.Is(err, store.FaultNotFound):
			if password == "" {
				password = " " // one that is too short, not an account without any
			}
			err = kept.AddAccount(ctx, store.Holder(), store.NewID(), c.Role, c.Name, c.Contact, password)
		}
		return s.did(err, "keep.account", finding.Args{"Name": c.Name})
	})
}

// Run makes a key for programs and prints it, this once.
func (c keyAddCmd) Run(s streams) error {
	return c.use(false, func(ctx context.Context, kept *store.Store) error {
		account, label, err := c.account(ctx, kept)
		if err != nil {
			return err
		}
		secret, err := kept.GivePass(ctx, store.Holder(), store.NewID(), store.Key, c.Bed, account, label)
		if err != nil {
			return err
		}
		return s.print([]byte(secret + "\n"))
	})
}

// account finds whose key it shall be: the account of the name; where there is one
// account, or none, and no such name, that one, and the name is what the key is called.
// The name of a person is no label: it must be forgettable.
func (c keyAddCmd) account(ctx context.Context, kept *store.Store) (account, label string, err error) {
	p, _, err := kept.Named(ctx, store.Holder(), c.Name)
	if err == nil || !store.Is(err, store.FaultNotFound) {
		return p.Account, "", err
	}
	all, e := kept.People(ctx, store.Holder())
	switch {
	case e != nil:
		return "", "", e
	case len(all) == 0:
		return "", c.Name, nil
	case len(all) == 1:
		return all[0].Account, c.Name, nil
	}
	return "", "", err
}

// did tells on standard error that something is done.
func (s streams) did(err error, id string, args finding.Args) error {
	var f finding.Fault
	if errors.As(err, &f) && f.File != "" {
		return report(s, nil, finding.Faults{f})
	}
	if err != nil {
		return err
	}
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	fmt.Fprintln(s.err, words.Say(id, args))
	return nil
}
