// Package proof holds the tests of the tags of a PDF: a checker that walks a file from its
// bytes, and says where a screen reader would be led astray. The rules are those of ISO
// 32000-1, 14.6 to 14.9, and of the Matterhorn Protocol's list of what a program can find in
// a file that means to keep PDF/UA-1 (both from memory; no validator was to be had).
package proof

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"regexp"
	"strings"
	"time"
)

// fault is one thing that is wrong.
type fault struct{ rule, where, what string }

// spot is a sequence by its page and its number.
type spot struct{ page, id int }

type checker struct {
	*file
	faults    []fault
	pages     []dict
	refs      []ref // of the pages
	fonts     map[ref]letters
	sequences map[spot]*sequence
	linked    map[ref]ref // a link to its element
	decor     []typed     // words that are not read aloud
	top       *element    // of the structure tree
	lines     []written
	points    []point
	wide      map[name]map[int]float64 // of the glyphs of each font
}

// written is a run of words where it stands on its page; of no sequence it is decoration.
type written struct {
	page                 int
	x, y, size, sin, cos float64
	long                 float64
	words                string
	of                   *sequence
}

// point is a corner of what is drawn.
type point struct {
	page int
	x, y float64
}

// typed is words in a size of type.
type typed struct {
	words string
	size  float64
}

func (c *checker) say(rule, where, format string, args ...any) {
	c.faults = append(c.faults, fault{rule, where, fmt.Sprintf(format, args...)})
}

// check gives the faults of a file and its structure tree.
func check(f *file) ([]fault, *element) {
	c := checked(f)
	return c.faults, c.top
}

// checked reads a file and looks at all of it.
func checked(f *file) *checker {
	c := &checker{file: f, fonts: map[ref]letters{}, sequences: map[spot]*sequence{}, wide: map[name]map[int]float64{}, linked: map[ref]ref{}}
	catalogue := c.dict(c.trailer["Root"])
	c.catalogue(catalogue)
	top := c.dict(catalogue["Pages"])
	for _, k := range c.list(top["Kids"]) {
		r, _ := k.(ref)
		c.pages, c.refs = append(c.pages, c.dict(k)), append(c.refs, r)
	}
	if len(c.pages) == 0 {
		c.say("file", "catalogue", "no pages")
	}
	for i, p := range c.pages {
		where := fmt.Sprintf("page %d", i+1)
		if c.name(p["Tabs"]) != "S" {
			c.say("tabs", where, "the keyboard does not go the way of the structure")
		}
		page := &content{checker: c, page: i, where: where, fonts: c.dict(c.dict(top["Resources"])["Font"])}
		var ops []byte // of several streams, as if they were one (ISO 32000-1, 7.8.2)
		for _, k := range c.list(p["Contents"]) {
			if s, ok := c.get(k).(*stream); ok {
				ops = append(append(ops, s.data...), '\n')
			}
		}
		if page.read(ops); len(ops) == 0 {
			c.say("file", where, "no contents")
		}
	}
	c.top = c.tree(catalogue)
	c.shape(c.top, 0)
	c.parents(catalogue)
	return c
}

var language = regexp.MustCompile(`^[a-zA-Z]{2,3}(-[a-zA-Z0-9]{2,8})*$`)

func isLanguage(s string) bool { return language.MatchString(s) }

// catalogue checks what the file says about itself.
func (c *checker) catalogue(d dict) {
	if l := c.text(d["Lang"]); !isLanguage(l) {
		c.say("lang", "catalogue", "%q is no language", l)
	}
	if m := c.dict(d["MarkInfo"]); m["Marked"] != true || m["Suspects"] == true {
		c.say("marked", "catalogue", "the file does not say that it is tagged")
	}
	if c.dict(d["ViewerPreferences"])["DisplayDocTitle"] != true {
		c.say("title", "catalogue", "a window shows the name of the file")
	}
	info := c.dict(c.trailer["Info"])
	s, ok := c.get(d["Metadata"]).(*stream)
	if !ok {
		c.say("xmp", "catalogue", "no metadata")
		return
	}
	if s.dict["Filter"] != nil {
		c.say("xmp", "catalogue", "the metadata are packed")
	}
	told, err := metadata(s.data)
	if err != nil {
		c.say("xmp", "metadata", "%v", err)
	}
	if c.text(info["Title"]) == "" || told["title"] == "" {
		c.say("title", "metadata", "no title")
	}
	if _, ok := told["part"]; ok {
		c.say("claim", "metadata", "claims a standard that no validator has looked at")
	}
	for key, same := range map[name]string{"Title": "title", "Creator": "CreatorTool", "Producer": "Producer"} {
		if a, b := strings.Join(strings.Fields(c.text(info[key])), " "), told[same]; a != b {
			c.say("xmp", string(key), "%q and %q", a, b)
		}
	}
	if a, b := c.text(d["Lang"]), told["language"]; a != b {
		c.say("xmp", "language", "%q and %q", a, b)
	}
	for key, same := range map[name]string{"CreationDate": "CreateDate", "ModDate": "ModifyDate"} {
		a, err := time.Parse("D:20060102150405-07'00'", c.text(info[key]))
		b, wrong := time.Parse(time.RFC3339, told[same])
		if err != nil || wrong != nil || !a.Equal(b) {
			c.say("xmp", string(key), "%q and %q", c.text(info[key]), told[same])
		}
	}
}

// metadata gives the words of each property by its name.
func metadata(data []byte) (map[string]string, error) {
	out := map[string]string{}
	var path []string
	for d := xml.NewDecoder(bytes.NewReader(data)); ; {
		token, err := d.Token()
		if token == nil {
			if len(path) > 0 {
				return out, err
			}
			return out, nil
		}
		switch x := token.(type) {
		case xml.StartElement:
			path = append(path, x.Name.Local)
			for _, a := range x.Attr {
				if a.Name.Local == "part" {
					out["part"] = a.Value
				}
			}
			if x.Name.Local == "part" {
				out["part"] = ""
			}
		case xml.EndElement:
			path = path[:len(path)-1]
		case xml.CharData:
			if len(path) > 3 {
				if w := strings.Join(strings.Fields(string(x)), " "); w != "" {
					out[path[3]] = w // xmpmeta, RDF, Description, property
				}
			}
		}
	}
}
