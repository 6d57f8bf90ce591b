package store

import "slices"

// Role is what somebody is in an office.
type Role string

// Roles. A grower has own beds; a volunteer sees and logs all, and keeps what is shared;
// an educator does everything.
const (
	Educator  Role = "educator"
	Volunteer Role = "volunteer"
	Grower    Role = "grower"
	visitor   Role = "visitor" // holds the link or the key of one bed
	reader    Role = "reader"  // holds the address of one bed's calendar
	holder    Role = "holder"  // holds the store itself: its commands, one's own computer
)

// Roles lists the roles that an account can have.
func Roles() []Role { return []Role{Educator, Volunteer, Grower} }

// Who is somebody who asks. It is given by SignIn, BySession, ByPass and Holder and
// cannot be made elsewhere.
type Who struct {
	role    Role
	account string // "" for a visitor and the holder
	pass    string // the key or link by which it came, or ""
	bed     string // the one bed of a visitor
}

// Holder is who holds the store itself: whoever runs its commands, or the planner on
// one's own computer. It may do everything.
func Holder() Who { return Who{role: holder} }

// Account gives the account, "" for a visitor and the holder.
func (w Who) Account() string { return w.account }

// Role gives the role.
func (w Who) Role() Role { return w.role }

// Bed gives the one bed that a link or key is for, "" where it is not for one.
func (w Who) Bed() string { return w.bed }

// signs is how the happenings name it.
func (w Who) signs() string {
	switch {
	case w.account != "":
		return w.account
	case w.pass != "":
		return w.pass
	}
	return string(w.role)
}

// act is something that is done to a thing.
type act int

const (
	see     act = iota // a bed, its versions, its log
	log                // keep and correct its entries
	change             // its brief
	share              // give and withdraw its links and keys
	remove             // and bring back
	begin              // make a bed
	consult            // read what the office shares
	supply             // write what the office shares
	account            // read and write the records of the programme
	people             // accounts, names, whose bed it is, who looked
)

// rights are the acts of each role: on all beds, and on its own.
var rights = map[Role]struct{ all, own []act }{
	holder:    {all: []act{see, log, change, share, remove, begin, consult, supply, account, people}},
	Educator:  {all: []act{see, log, change, share, remove, begin, consult, supply, account, people}},
	Volunteer: {all: []act{see, log, begin, consult, supply, account}, own: []act{change, share, remove}},
	Grower:    {all: []act{begin, consult}, own: []act{see, log, change, share, remove}},
	visitor:   {own: []act{see, log}},
	reader:    {own: []act{see}},
}

// may tells whether somebody may do something to a bed, or to no bed in particular ("").
// This is the one place where that is decided.
func (w Who) may(what act, bed, owner string) bool {
	if w.pass != "" && (what == share || what == people) {
		return false // a key makes no keys
	}
	r := rights[w.role]
	if slices.Contains(r.all, what) {
		return true
	}
	mine := bed != "" && (w.bed == bed || w.bed == "" && w.account != "" && w.account == owner)
	return mine && slices.Contains(r.own, what)
}

// Changes tells whether somebody may change the brief of a bed.
func (w Who) Changes(b Bed) bool { return w.may(change, b.ID, b.Owner) }

// Shares tells whether somebody may give and withdraw the links and keys of a bed.
func (w Who) Shares(b Bed) bool { return w.pass == "" && w.may(share, b.ID, b.Owner) }

// Removes tells whether somebody may remove a bed, and bring it back.
func (w Who) Removes(b Bed) bool { return w.may(remove, b.ID, b.Owner) }

// Begins tells whether somebody may make beds.
func (w Who) Begins() bool { return w.may(begin, "", "") }

// Supplies tells whether somebody may write what the office shares.
func (w Who) Supplies() bool { return w.may(supply, "", "") }

// Accounts tells whether somebody may read and write the records of the programme.
func (w Who) Accounts() bool { return w.may(account, "", "") }

// Heads tells whether somebody may see people and give them accounts.
func (w Who) Heads() bool { return w.may(people, "", "") }
