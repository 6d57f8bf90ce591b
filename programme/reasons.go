package programme

import (
	"slices"
	"strings"
)

// Reason is why something is withheld from a copy for the public, as its log codes it.
type Reason string

// Reasons, in the order in which the log numbers them from R1 on: what must be removable, then what an office adds to it (our rule, no source).
const (
	ForName       Reason = "name" // of the public, volunteers, hosts, signers
	ForPhone      Reason = "phone"
	ForMail       Reason = "mail"
	ForAddress    Reason = "address" // street and mail, parcels, gate codes, which site and bed
	ForPlace      Reason = "place"   // coordinates, links to a map, tiles
	ForPlate      Reason = "plate"
	ForPhoto      Reason = "photo" // and the data hidden in it, and scans of handwriting
	ForSignature  Reason = "signature"
	ForPupil      Reason = "pupil"
	ForHealth     Reason = "health"
	ForGroup      Reason = "group" // demographics below the county, single answers, languages
	ForUnread     Reason = "unread"
	ForLaboratory Reason = "laboratory" // a customer's number
	ForFile       Reason = "file"       // a name of a file or column that may hold a name
	ForHistory    Reason = "history"    // comments, and what was before a change
	ForState      Reason = "state"      // a State's rule that the office entered
	ForOffice     Reason = "office"     // how the office works: nobody asked for it to go
)

var reasons = []Reason{ForName, ForPhone, ForMail, ForAddress, ForPlace, ForPlate, ForPhoto, ForSignature, ForPupil, ForHealth, ForGroup, ForUnread, ForLaboratory, ForFile, ForHistory, ForState, ForOffice}

// Reasons lists all reasons in the order of their numbers.
func Reasons() []Reason { return slices.Clone(reasons) }

// Number gives the number of a reason in the log, from 1.
func (r Reason) Number() int { return slices.Index(reasons, r) + 1 }

// ofTables are the reasons of tables of which no column may go; what must vanish goes by the kind of each of its rows.
var ofTables = map[string]Reason{
	"people": ForName, "consents": ForName, "signins": ForName, "cleared": ForName, "sites": ForAddress, "beds": ForAddress,
	"classes": ForPupil, "slips": ForGroup, "answers": ForGroup, "replies": ForGroup, "stories": ForUnread, "destroyed": ForHistory, "repeats": ForHistory,
	"funders": ForOffice, "trials": ForOffice, "audience": ForOffice, "published": ForOffice, "keeping": ForOffice, "holds": ForOffice, "questions": ForOffice, "settings": ForOffice,
}

// ofColumns are the reasons of columns that may not go, of tables that go in part; a code of a person is a name.
var ofColumns = map[string]Reason{
	"counties.across": ForPlace, "counties.down": ForPlace, "events.site": ForAddress, "visits.site": ForAddress, "harvests.bed": ForAddress, "prices.place": ForAddress,
	"events.asked_in": ForGroup, "events.served_in": ForGroup, "events.interpreter": ForGroup, "visits.asked_in": ForGroup, "visits.served_in": ForGroup, "visits.interpreter": ForGroup,
	"inquiries.asked_in": ForGroup, "inquiries.served_in": ForGroup, "inquiries.interpreter": ForGroup, "inquiries.ask_again": ForOffice, "inquiries.asked_again": ForOffice,
	"corrections.record": ForHistory, "corrections.field": ForHistory, "corrections.old": ForHistory, "corrections.new": ForHistory,
	"waves.question_spanish": ForUnread, "waves.planned_on": ForOffice, "waves.reminders": ForOffice, "waves.whole": ForOffice, "waves.form": ForOffice, "waves.event": ForOffice,
	"hours.event": ForOffice, "efforts.event": ForOffice, "rates.name": ForOffice, "rates.released": ForOffice, "rates.scope": ForOffice,
}

// vanishing are the reasons by the kind that must_vanish.csv names; another kind is a text to be read.
var vanishing = map[string]Reason{
	"name": ForName, "phone": ForPhone, "e-mail": ForMail, "address": ForAddress, "coordinates": ForPlace, "plate": ForPlate, "photo": ForPhoto, "signature": ForSignature,
	"pupil": ForPupil, "health": ForHealth, "group": ForGroup, "laboratory": ForLaboratory, "file": ForFile, "comment": ForHistory,
}

// reason gives the one reason for which a column, or all of a table, is withheld.
func reason(of, column, kind string) Reason {
	switch kind {
	case KindPerson:
		return ForName
	case KindUnread:
		return ForUnread
	case KindPupils:
		return ForPupil
	case KindUnknown:
		return ForFile
	case KindPeople:
		return ofTables[of]
	}
	if slices.Contains(allowed[of], column) { // only a rule of the office keeps it
		return ForState
	}
	return ofColumns[of+"."+column]
}

// vanishes gives the reason of a text that must vanish.
func (m MustVanish) vanishes() Reason {
	if r, known := vanishing[strings.ToLower(strings.TrimSpace(m.Kind))]; known {
		return r
	}
	return ForUnread
}
