package programme

// Records are all that was written down, a table each. The same layout is our open form: a folder of CSV files, read by
// Read and written by Write. Tags of a field: key names its column; id, that it names the row; need, that it may not be
// blank; of, the table in which it must stand; words, what it may say; least and most bound a number; added, that it is not
// written where no row says anything in it.
type Records struct {
	Counties    []County     `file:"counties"`
	Rates       []Rate       `file:"rates"`
	Funders     []Funder     `file:"funders"`
	People      []Person     `file:"people"`
	Sites       []Site       `file:"sites"`
	Consents    []Consent    `file:"consents"`
	Beds        []Bed        `file:"beds"`
	Events      []Event      `file:"events"`
	SignIns     []SignIn     `file:"signins"`
	Slips       []Slip       `file:"slips"`
	Visits      []Visit      `file:"visits"`
	Inquiries   []Inquiry    `file:"inquiries"`
	Indirect    []Indirect   `file:"indirect"`
	Waves       []Wave       `file:"waves"`
	Answers     []Answer     `file:"answers"`
	Replies     []Reply      `file:"replies"`
	Harvests    []Harvest    `file:"harvests"`
	Prices      []Price      `file:"prices"`
	Hours       []Hours      `file:"hours"`
	Plots       []Plot       `file:"trials"`
	Audience    []Audience   `file:"audience"`
	Corrections []Correction `file:"corrections"`
	MustVanish  []MustVanish `file:"must_vanish"`
	Efforts     []Effort     `file:"efforts"`
	Cleared     []Cleared    `file:"cleared"`
	Stories     []Story      `file:"stories"`
	Published   []Published  `file:"published"`
	Keepings    []Keeping    `file:"keeping"`
	Holds       []Hold       `file:"holds"`
	Destroyed   []Destroyed  `file:"destroyed"`
	Questions   []Asked      `file:"questions"`
	Repeats     []Repeat     `file:"repeats"`
	Settings    []Setting    `file:"settings"`
	Classes     []Class      `file:"classes"`

	// Unread names files and columns of the folder that no table of ours has.
	Unread []string
}

// County is a county in which work is done.
type County struct {
	ID   string `key:"county" id:"yes"`
	Name string `key:"name" need:"yes"`

	Across Maybe `key:"across" added:"yes" least:"1" most:"40"` // its tile on the map of counties, from the west
	Down   Maybe `key:"down" added:"yes" least:"1" most:"40"`   // and from the north
}

// Funder is who a report is for: its year and its rules.
type Funder struct {
	ID        string `key:"funder" id:"yes"`
	Label     string `key:"label"`
	From      Day    `key:"from" need:"yes"`
	To        Day    `key:"to" need:"yes"`
	Series    string `key:"series" words:"each|once"`
	SameDay   string `key:"same_day" words:"once|each"`
	Threshold int    `key:"threshold" least:"5" most:"1000"`
	Rate      string `key:"rate" of:"rates"`
	Parity    string `key:"parity" added:"yes" words:"|no|yes"` // whether the funder asks about it
	Match     string `key:"match_rate" added:"yes" of:"rates"`  // what similar work is paid, where hours are to match an award (2 CFR 200.306(e))
}

// Person is a code. No name, no address, no birth date; pupils are never persons.
type Person struct {
	ID     string `key:"person" id:"yes"`
	County string `key:"county" of:"counties"`
	Role   string `key:"role" words:"public|volunteer|staff"`
	Since  Day    `key:"since"`
}

// Consent is one yes of a person. Withdrawn is the first day on which it no longer holds.
type Consent struct {
	Person    string `key:"person" need:"yes"`
	Purpose   string `key:"purpose" words:"keep|ask|show|tell"`
	Site      string `key:"site" of:"sites"`
	Given     Day    `key:"given"`
	Withdrawn Day    `key:"withdrawn"`
}

// Site is a place with beds; its host is the code of a person.
type Site struct {
	ID     string `key:"site" id:"yes"`
	County string `key:"county" need:"yes" of:"counties"`
	Kind   string `key:"kind"`
	Opened Day    `key:"opened" need:"yes"`
	Closed Day    `key:"closed"`
	Host   string `key:"host"`
}

// Bed is a bed of a site, in feet and inches as they are entered.
type Bed struct {
	ID      string `key:"bed" id:"yes"`
	Site    string `key:"site" need:"yes" of:"sites"`
	Length  int    `key:"length_ft" least:"1" most:"1000"`
	Width   int    `key:"width_ft" least:"1" most:"1000"`
	Depth   Maybe  `key:"depth_in" least:"0" most:"100"`
	Holes   Maybe  `key:"holes" least:"0" most:"100000"`
	Planted Day    `key:"first_planted" need:"yes"`
	Retired Day    `key:"retired"`
}

// Event is a teaching event, or one session of a series. Adults and youth are heads without staff.
type Event struct {
	ID          string `key:"event" id:"yes"`
	Date        Day    `key:"date" need:"yes"`
	County      string `key:"county" need:"yes" of:"counties"`
	Site        string `key:"site" of:"sites"`
	Form        string `key:"form"`
	Topic       string `key:"topic"`
	Series      string `key:"series"`
	Title       string `key:"title"`
	Education   bool   `key:"education"`
	Adults      int    `key:"adults" least:"0" most:"100000"`
	Youth       int    `key:"youth" least:"0" most:"100000"`
	Lead        string `key:"staff_lead"`
	With        string `key:"staff_with"`
	Minutes     Maybe  `key:"minutes" least:"0" most:"100000"`
	AskedIn     string `key:"asked_in" added:"yes"`                    // the language asked for, as ISO 639 writes it: en, es, vi
	ServedIn    string `key:"served_in" added:"yes"`                   // the language it was done in
	Interpreter string `key:"interpreter" added:"yes" words:"|no|yes"` // whether one was offered
}

// SignIn is a code on the list of an event.
type SignIn struct {
	Event  string `key:"event" need:"yes" of:"events"`
	Person string `key:"person"`
}

// Slip is one anonymous slip: of an event, never of a person. Of an event with few adults it lies in the pool of a county and a month
// instead: then Event is blank.
type Slip struct {
	ID       string `key:"slip" id:"yes"`
	Event    string `key:"event" of:"events"`
	Standard string `key:"standard" words:"2024|1997"`
	Groups   string `key:"groups"` // parted by |
	Sex      string `key:"sex"`
	AgeBand  string `key:"age_band"`
	County   string `key:"county" added:"yes" of:"counties"` // of a pool
	Month    string `key:"month" added:"yes"`                // of a pool, as 2027-05
}

// Class is what a class of pupils answered to one item, as counts alone: a pupil has no row, no code and no sheet. Its name is one that the class
// chose. Who was asked only after has no count before: then nothing is said of a change.
type Class struct {
	ID       string `key:"result" id:"yes"`
	Event    string `key:"event" need:"yes" of:"events"` // at which it was asked after
	Group    string `key:"group" need:"yes"`
	Grades   string `key:"grades" words:"K-2|3-5|6-8|9-12"`
	Item     string `key:"item" need:"yes"`
	Before   Maybe  `key:"right_before" least:"0" most:"1000"`
	BeforeOf Maybe  `key:"answered_before" least:"1" most:"1000"`
	After    int    `key:"right_after" least:"0" most:"1000"`
	AfterOf  int    `key:"answered_after" least:"1" most:"1000"`
}

// Visit is a visit to a site.
type Visit struct {
	ID          string `key:"visit" id:"yes"`
	Date        Day    `key:"date" need:"yes"`
	Site        string `key:"site" need:"yes" of:"sites"`
	Mode        string `key:"mode"`
	Education   bool   `key:"education"`
	Topic       string `key:"topic"`
	Person      string `key:"person"`
	OthersMet   int    `key:"others_met" least:"0" most:"10000"`
	Staff       string `key:"staff"`
	Minutes     int    `key:"minutes" least:"0" most:"10000"`
	Miles       int    `key:"miles" least:"0" most:"10000"`
	AskedIn     string `key:"asked_in" added:"yes"`                    // the language asked for, as ISO 639 writes it: en, es, vi
	ServedIn    string `key:"served_in" added:"yes"`                   // the language it was done in
	Interpreter string `key:"interpreter" added:"yes" words:"|no|yes"` // whether one was offered
}

// Inquiry is a question by telephone, letter or message.
type Inquiry struct {
	ID          string `key:"inquiry" id:"yes"`
	Date        Day    `key:"date" need:"yes"`
	County      string `key:"county" need:"yes" of:"counties"`
	Mode        string `key:"mode"`
	Education   bool   `key:"education"`
	Topic       string `key:"topic"`
	Person      string `key:"person"`
	AnsweredBy  string `key:"answered_by"`
	Status      string `key:"status" words:"open|closed"`
	Minutes     Maybe  `key:"minutes" least:"0" most:"10000"`
	Referred    string `key:"referred"`
	Note        string `key:"note"`
	AskedIn     string `key:"asked_in" added:"yes"`                    // the language asked for, as ISO 639 writes it: en, es, vi
	ServedIn    string `key:"served_in" added:"yes"`                   // the language it was done in
	Interpreter string `key:"interpreter" added:"yes" words:"|no|yes"` // whether one was offered
	AskAgain    Day    `key:"ask_again" added:"yes"`                   // the day by which the letter asks to hear again
	AskedAgain  Day    `key:"asked_again" added:"yes"`                 // when that was done
}

// Indirect is an item that was heard of, in its own unit.
type Indirect struct {
	ID     string `key:"item" id:"yes"`
	Date   Day    `key:"date" need:"yes"`
	Form   string `key:"form"`
	Title  string `key:"title"`
	Unit   string `key:"unit" need:"yes"`
	Count  int    `key:"count" least:"0" most:"1000000000"`
	Source string `key:"count_source"`
}

// Answer is one answer to one item of a form: one that was filled in at an event, or that came back in a wave, with the reply of that name.
type Answer struct {
	Form   string `key:"form" need:"yes"` // not of one row alone: a form has several items
	Event  string `key:"event" of:"events"`
	Kind   string `key:"kind" words:"before and after|looking back|later"`
	Code   string `key:"code"`
	Item   string `key:"item" need:"yes"`
	Before Maybe  `key:"before" least:"0" most:"1000"`
	After  Maybe  `key:"after" least:"0" most:"1000"`
	Wave   string `key:"wave" added:"yes" of:"waves"`
}

// Wave is a follow-up that is planned, or was sent out.
type Wave struct {
	ID            string `key:"wave" id:"yes"`
	Question      string `key:"question"`
	Sent          Day    `key:"sent_on"`
	Count         int    `key:"sent" least:"0" most:"1000000"`
	Undeliverable int    `key:"undeliverable" least:"0" most:"1000000"`
	Planned       Day    `key:"planned_on" added:"yes"`
	Reminders     Maybe  `key:"reminders" added:"yes" least:"0" most:"3"` // sent since
	Spanish       string `key:"question_spanish" added:"yes"`
	Whole         Maybe  `key:"whole" added:"yes" least:"1" most:"1000000"` // of how many these are all or a part
	Form          string `key:"form" added:"yes"`                           // of questions.csv: what is asked beside the question
	Event         string `key:"event" added:"yes" of:"events"`              // whose forms an own code joins these to
}

// Reply is a reply to a wave; a blank answer came back with the item left out.
type Reply struct {
	ID       string  `key:"reply" id:"yes"`
	Wave     string  `key:"wave" need:"yes" of:"waves"`
	Mailing  int     `key:"mailing" least:"1" most:"100"`
	Returned Day     `key:"returned_on"`
	Answer   string  `key:"answer" words:"|yes|no"`
	Pounds   Decimal `key:"pounds_told" most:"100000"`
	Own      string  `key:"own_code" added:"yes"` // chosen by who answers, to join with other forms
}

// Harvest is what was cut at a bed and where it went. Blank pounds: not weighed.
type Harvest struct {
	ID       string  `key:"harvest" id:"yes"`
	Date     Day     `key:"date" need:"yes"`
	Bed      string  `key:"bed" of:"beds"`
	Crop     string  `key:"crop" need:"yes"`
	Heads    int     `key:"heads" least:"0" most:"100000"`
	Pounds   Decimal `key:"pounds" most:"10000"`
	Fate     string  `key:"fate" words:"kitchen|cafeteria|given|sold|lost"`
	Receipts Decimal `key:"receipts" most:"1000000"`
}

// Price is a price that somebody looked at.
type Price struct {
	ID      string  `key:"price" id:"yes"`
	Date    Day     `key:"date" need:"yes"`
	Crop    string  `key:"crop" need:"yes"`
	Unit    string  `key:"unit" words:"lb"`
	Dollars Decimal `key:"dollars" need:"yes" most:"1000"`
	Basis   string  `key:"basis" words:"retail|farm stand|wholesale"`
	Place   string  `key:"place"`
	Source  string  `key:"source"`
}

// Hours are hours of a volunteer.
type Hours struct {
	ID     string  `key:"entry" id:"yes"`
	Date   Day     `key:"date" need:"yes"`
	Person string  `key:"person" need:"yes"`
	Event  string  `key:"event" of:"events"`
	Task   string  `key:"task"`
	Kind   string  `key:"kind" words:"service|training"`
	Hours  Decimal `key:"hours" need:"yes" most:"24"`
}

// Rate is a rate by the hour that the user entered, with the year it describes.
type Rate struct {
	ID      string  `key:"rate" id:"yes"`
	Year    int     `key:"year" least:"1990" most:"2200"`
	Dollars Decimal `key:"dollars_per_hour" need:"yes" most:"10000"`
	Source  string  `key:"source" need:"yes"`

	Name     string `key:"name" added:"yes"`                          // of a figure that comes out each year: hours take that of their year
	Released Day    `key:"released" added:"yes"`                      // blank: it was known all along
	Scope    string `key:"scope" added:"yes" words:"|national|state"` // whom it describes
}

// Plot is one value of a trial.
type Plot struct {
	Trial     string  `key:"trial" need:"yes"`
	Design    string  `key:"design" words:"both in every bed|two sites"`
	Block     string  `key:"block"`
	Name      string  `key:"plot"`
	Treatment string  `key:"treatment" need:"yes"`
	Unit      string  `key:"unit"`
	Value     Decimal `key:"value" most:"1000000"`
	Seed      Maybe   `key:"seed" added:"yes" least:"0" most:"4294967295"` // of the lot by which the plots were drawn
}

// Audience is the share of a group among those whom the work is for.
type Audience struct {
	County string  `key:"county" need:"yes" of:"counties"`
	Group  string  `key:"group" need:"yes"`
	Share  Decimal `key:"share" need:"yes" most:"1"`
	Source string  `key:"source"`
}

// Correction changes or voids a record without editing it. MadeOn decides whether a report sees it.
type Correction struct {
	ID     string `key:"correction" id:"yes"`
	MadeOn Day    `key:"made_on" need:"yes"`
	Table  string `key:"table" need:"yes"`
	Record string `key:"record" need:"yes"`
	Action string `key:"action" words:"change|void"`
	Field  string `key:"field"`
	Old    string `key:"old"`
	New    string `key:"new"`
	Reason string `key:"reason"`
}

// MustVanish is a text that a public copy may not hold.
type MustVanish struct {
	Table  string `key:"table" need:"yes"`
	Record string `key:"record" need:"yes"`
	Field  string `key:"field" need:"yes"`
	Text   string `key:"text" need:"yes"`
	Kind   string `key:"kind"`
}

// Effort is a step that was taken to reach a group that is missing.
type Effort struct {
	Date   Day    `key:"date" need:"yes"`
	County string `key:"county" of:"counties"`
	Event  string `key:"event" of:"events"`
	What   string `key:"what" need:"yes"`
}

// Cleared is a text that a person has read and found fit for the public.
type Cleared struct {
	Text string `key:"text" need:"yes"`
	By   string `key:"read_by" need:"yes"`
	On   Day    `key:"read_on" need:"yes"`
}

// Story is a part of the story of a report, at most 250 words in all.
type Story struct {
	Funder   string `key:"funder" need:"yes" of:"funders"`
	Language string `key:"language" need:"yes"`
	Part     string `key:"part" words:"issue|done|result|evidence"`
	Text     string `key:"text" need:"yes"`
	Person   string `key:"person" added:"yes"` // whose words or case it tells, with their consent
}

// Published is a figure that went out before, kept so that two reports cannot be subtracted.
type Published struct {
	Funder  string `key:"funder" need:"yes"`
	From    Day    `key:"from" need:"yes"`
	To      Day    `key:"to" need:"yes"`
	AsOf    Day    `key:"as_of" need:"yes"`
	County  string `key:"county" need:"yes"`
	Measure string `key:"measure" need:"yes"`
	Count   int    `key:"count" least:"-1000000000" most:"1000000000"`
	Hidden  bool   `key:"hidden"`
}
