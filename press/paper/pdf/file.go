// Package pdf writes tagged PDF files (ISO 32000-1, 14.8): the contents of pages, the
// structure tree that tells a screen reader what each word is, bookmarks, links, and the
// metadata. It knows no layout and no typeface. The same file gives the same bytes.
package pdf

import (
	"cmp"
	_ "embed" // the form of the metadata
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// File is a PDF file being made.
type File struct {
	Title     string
	Language  string // tag of BCP 47
	Creator   string
	Created   time.Time
	Bookmarks []*Bookmark
	Packs     *Packs // what other files of its kind share; nil: nothing

	width, height float64
	objects       []object
	fonts         []byte
	pages         []*written
	places        map[string]Place
	root          *Element
	speaks        string // language of what is drawn now, where it is not the document's
}

// written is a page with its number in the file.
type written struct {
	*Page
	ref int
}

// Place is a spot that a link or a bookmark leads to.
type Place struct {
	Page int     // from 0
	Top  float64 // height of the spot, which is shown at the top of the window
}

// Bookmark is an entry of the list of contents that a reader shows beside the pages.
type Bookmark struct {
	Title string
	To    Place
	Kids  []*Bookmark
}

// New starts a file with pages of one size, in points.
func New(width, height float64) *File {
	return &File{width: width, height: height, places: map[string]Place{}, root: Block("Document")}
}

// Page adds a page.
func (f *File) Page() *Page {
	p := &Page{file: f, index: len(f.pages)}
	f.pages = append(f.pages, &written{Page: p})
	return p
}

// Name gives a place the name that links lead to.
func (f *File) Name(name string, to Place) { f.places[name] = to }

// Font makes the font of an object known under a name to all pages.
func (f *File) Font(name string, object int) {
	f.fonts = refer(append(append(append(f.fonts, '/'), name...), ' '), object)
}

// Write finishes the file. The only errors are those of w.
func (f *File) Write(w io.Writer) error {
	for _, p := range f.pages {
		p.close()
		p.ref = f.reserve()
	}
	linked := f.annotations()
	pages := f.writePages()
	tree := f.reserve()
	root := f.element(f.root, tree)
	f.fill(tree, fmt.Appendf(nil, "<</Type/StructTreeRoot/K %d 0 R/ParentTree %d 0 R/ParentTreeNextKey %d>>", root, f.parents(linked), len(f.pages)+len(linked)))
	meta := f.Stream([]byte("/Type/Metadata/Subtype/XML"), []byte(f.metadata()))
	f.objects[meta-1].raw = true
	b := fmt.Appendf(nil, "<</Type/Catalog/Pages %d 0 R/StructTreeRoot %d 0 R/Metadata %d 0 R/MarkInfo<</Marked true>>/ViewerPreferences<</DisplayDocTitle true>>", pages, tree, meta)
	b = text(append(b, "/Lang"...), f.Language)
	if len(f.Bookmarks) > 0 {
		top := f.reserve()
		first, last, n := f.bookmarks(f.Bookmarks, top)
		f.fill(top, fmt.Appendf(nil, "<</Type/Outlines/First %d 0 R/Last %d 0 R/Count %d>>", first, last, n))
		b = refer(append(b, "/Outlines "...), top)
	}
	catalogue := f.Object(append(b, ">>"...))
	b = text([]byte("<</Title"), f.Title)
	b = text(append(b, "/Creator"...), f.Creator)
	b = text(append(b, "/Producer"...), f.Creator)
	at := f.Created.UTC().Format("(D:20060102150405+00'00')")
	return f.emit(w, catalogue, f.Object(append(b, "/CreationDate"+at+"/ModDate"+at+">>"...)))
}

// annotations writes the links. Their keys in the parent tree follow those of the pages.
func (f *File) annotations() []*link {
	var all []*link
	for _, p := range f.pages {
		for _, l := range p.links {
			l.key = len(f.pages) + len(all)
			b := fmt.Appendf(nil, "<</Type/Annot/Subtype/Link/F 4/Border[0 0 0]/StructParent %d/Rect[", l.key)
			for _, x := range l.area {
				b = append(decimal(b, x), ' ')
			}
			b = text(append(b, "]/Contents"...), l.words)
			if to, ok := f.places[l.to]; ok {
				b = f.goal(b, to)
			}
			l.ref = f.Object(append(b, ">>"...))
			all = append(all, l)
		}
	}
	return all
}

// goal writes where a link or a bookmark leads.
func (f *File) goal(b []byte, to Place) []byte {
	b = append(refer(append(b, "/Dest["...), f.pages[to.Page].ref), "/XYZ null "...)
	return append(decimal(b, to.Top), " null]"...)
}

// writePages writes the pages and gives the number of their list.
func (f *File) writePages() int {
	list := f.reserve()
	var kids []byte
	for i, p := range f.pages {
		b := refer(fmt.Appendf(nil, "<</Type/Page/Parent %d 0 R/Contents[", list), f.Stream(nil, p.ops[:cmp.Or(p.footed, len(p.ops))]))
		if p.footed > 0 { // apart: the foot tells files apart whose pages are alike
			b = refer(append(b, ' '), f.Stream(nil, p.ops[p.footed:]))
		}
		b = fmt.Appendf(b, "]/StructParents %d/Tabs/S", i)
		if len(p.links) > 0 {
			b = append(b, "/Annots["...)
			for _, l := range p.links {
				b = append(refer(b, l.ref), ' ')
			}
			b = append(b, ']')
		}
		f.fill(p.ref, append(b, ">>"...))
		kids = append(refer(kids, p.ref), ' ')
	}
	size := decimal(append(decimal(nil, f.width), ' '), f.height)
	f.fill(list, fmt.Appendf(nil, "<</Type/Pages/Count %d/MediaBox[0 0 %s]/Resources<</Font<<%s>>>>/Kids[%s]>>", len(f.pages), size, f.fonts, kids))
	return list
}

// parents writes the way back: from each sequence of each page, and from each link, to
// its element.
func (f *File) parents(linked []*link) int {
	var nums []byte
	for i, p := range f.pages {
		list := []byte{'['}
		for _, e := range p.ids {
			list = append(refer(list, e.ref), ' ')
		}
		nums = append(refer(append(strconv.AppendInt(nums, int64(i), 10), ' '), f.Object(append(list, ']'))), ' ')
	}
	for _, l := range linked {
		nums = append(refer(append(strconv.AppendInt(nums, int64(l.key), 10), ' '), l.of.ref), ' ')
	}
	return f.Object(fmt.Appendf(nil, "<</Nums[%s]>>", nums))
}

// bookmarks writes the entries of one level and those under them; n counts all of them.
func (f *File) bookmarks(list []*Bookmark, up int) (first, last, n int) {
	refs := make([]int, len(list))
	for i := range list {
		refs[i] = f.reserve()
	}
	for i, m := range list {
		b := f.goal(text([]byte("<</Title"), m.Title), m.To)
		b = refer(append(b, "/Parent "...), up)
		if i > 0 {
			b = refer(append(b, "/Prev "...), refs[i-1])
		}
		if i < len(list)-1 {
			b = refer(append(b, "/Next "...), refs[i+1])
		}
		if len(m.Kids) > 0 {
			a, z, inside := f.bookmarks(m.Kids, refs[i])
			b = fmt.Appendf(b, "/First %d 0 R/Last %d 0 R/Count %d", a, z, inside)
			n += inside
		}
		f.fill(refs[i], append(b, ">>"...))
	}
	return refs[0], refs[len(refs)-1], n + len(list)
}

//go:embed metadata.xml
var metadataForm string

// metadata gives the same facts as the information dictionary, in XML (ISO 16684-1). It
// does not say that the file keeps PDF/UA: no validator has looked at it.
func (f *File) metadata() string {
	safe := strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;").Replace
	return strings.NewReplacer("{title}", safe(f.Title), "{language}", safe(f.Language), "{creator}", safe(f.Creator),
		"{created}", f.Created.UTC().Format(time.RFC3339)).Replace(metadataForm)
}
