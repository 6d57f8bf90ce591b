//go:build !js

package forbrowser

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
)

// Sections of a module, of the WebAssembly core specification.
const (
	customSection   = 0
	typeSection     = 1
	importSection   = 2
	functionSection = 3
	startSection    = 8
	codeSection     = 10
	dataSection     = 11
)

// inOrder is how sections follow each other; the count of data segments (12) stands before the code.
var inOrder = []byte{typeSection, importSection, functionSection, 4, 5, 6, 7, startSection, 9, 12, codeSection, dataSection}

// gap is the run of noughts at which the image is cut: noughts pack to nearly nothing, the place in a head
// does not (of 24, 64, 256 this was the smallest, packed).
const gap = 256

// thin makes a Go WebAssembly module smaller after the linker:
//
//   - The linker cuts the image of the memory at every short run of noughts, into
//     up to 100,000 segments with a head of eight bytes each. Thin cuts at longer
//     runs only.
//   - The names, files and lines of functions and the forms of their arguments
//     serve the traces of a crash and nothing else, and places where a function
//     must not be broken off only a machine with signals. Thin blanks them (a trace
//     then shows "?"); what the collector and a growing stack read stays.
//   - Two tables are filled in as the module starts (fill.go).
//
// It knows the table of functions as Go 1.20 to 1.26 write it and refuses another.
// Layout: internal/abi and runtime/symtab.go of the Go source.
func thin(in []byte) (out []byte, err error) {
	defer func() {
		if r := recover(); r != nil { // an offset that leads out of the module
			out, err = nil, fmt.Errorf("thin: not a module as Go links it: %v", r)
		}
	}()
	if !bytes.HasPrefix(in, []byte("\x00asm\x01\x00\x00\x00")) {
		return nil, errors.New("thin: not a WebAssembly module of version 1")
	}
	sections := map[byte][]byte{}
	for rest := in[8:]; len(rest) > 0; {
		size, n := binary.Uvarint(rest[1:])
		body := rest[1+n : 1+n+int(size)]
		if id := rest[0]; id != customSection { // build id, producers, names
			sections[id] = body
		}
		rest = rest[1+n+int(size):]
	}
	image, err := unpack(sections[dataSection])
	if err != nil {
		return nil, err
	}
	f, err := blank(image)
	if err != nil {
		return nil, err
	}
	if err := addStart(sections, f.code()); err != nil {
		return nil, err
	}
	sections[dataSection] = pack(image)
	out = append(out, in[:8]...)
	for _, id := range inOrder {
		if body := sections[id]; body != nil {
			out = append(binary.AppendUvarint(append(out, id), uint64(len(body))), body...)
		}
	}
	return out, nil
}

// Operations around the place of a segment.
const (
	i32Const = 0x41
	end      = 0x0b
)

// unpack lays the segments of a data section out as the memory will be.
func unpack(section []byte) ([]byte, error) {
	var image []byte
	segments, n := binary.Uvarint(section)
	section = section[n:]
	for range segments {
		if section[0] != 0 || section[1] != i32Const {
			return nil, errors.New("thin: a data segment of a kind that Go does not write")
		}
		at, n := signed(section[2:])
		section = section[2+n:]
		if section[0] != end || at < 0 {
			return nil, errors.New("thin: a data segment whose place is not a plain number")
		}
		size, n := binary.Uvarint(section[1:])
		data := section[1+n : 1+n+int(size)]
		section = section[1+n+int(size):]
		if more := at + len(data) - len(image); more > 0 {
			image = append(image, make([]byte, more)...)
		}
		copy(image[at:], data)
	}
	return image, nil
}

// pack cuts the image into segments, leaving out long runs of noughts.
func pack(image []byte) []byte {
	var segments []byte
	count := uint64(0)
	for at := 0; at < len(image); {
		if image[at] == 0 {
			at++
			continue
		}
		stop := at + 1 // behind the last byte that is not nought
		for p := stop; p < len(image) && p-stop < gap; p++ {
			if image[p] != 0 {
				stop = p + 1
			}
		}
		segments = appendSigned(append(segments, 0, i32Const), at)
		segments = binary.AppendUvarint(append(segments, end), uint64(stop-at))
		segments = append(segments, image[at:stop]...)
		count++
		at = stop
	}
	return append(binary.AppendUvarint(nil, count), segments...)
}

// signed reads a signed number of the format: seven bits a byte, the sign in the
// last one.
func signed(b []byte) (value, length int) {
	for shift := 0; ; shift += 7 {
		x := b[length]
		length++
		value |= int(x&0x7f) << shift
		if x < 0x80 {
			if x&0x40 != 0 {
				value -= 1 << (shift + 7)
			}
			return value, length
		}
	}
}

func appendSigned(b []byte, value int) []byte {
	for {
		x := byte(value & 0x7f)
		value >>= 7
		if value == 0 && x&0x40 == 0 || value == -1 && x&0x40 != 0 {
			return append(b, x)
		}
		b = append(b, x|0x80)
	}
}

// head is how a table of functions begins: its mark, two noughts, steps of one
// byte, words of eight.
var head = []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}

// Words of 32 bits in the record of a function.
const (
	nameOf, stackOf, fileOf, lineOf, tablesOf, unitOf, startOf = 1, 4, 5, 6, 7, 8, 9
	wordsOfRecord                                              = 11
)

// Behind a record stand its tables of values by place in the code, then its facts;
// none of a fact is all ones.
const (
	unbrokenTable, liveArgumentsTable = 0, 3
	argumentsFact, liveArgumentsFact  = 5, 6
	noFact                            = 0xffffffff
)

// blank clears in the table of functions what only a trace reads.
func blank(image []byte) (filling, error) {
	at := bytes.Index(image, head)
	if at < 0 {
		return filling{}, errors.New("thin: no table of functions of a form that it knows; was the Go toolchain changed?")
	}
	if bytes.Contains(image[at+1:], head) {
		return filling{}, errors.New("thin: two tables of functions")
	}
	table := image[at:]
	offset := func(n int) int { return int(binary.LittleEndian.Uint64(table[8+8*n:])) }
	word := func(at int) int { return int(binary.LittleEndian.Uint32(table[at:])) }
	count, names, pcs, functions := offset(0), offset(3), offset(6), offset(7)
	keep := make([]bool, functions-pcs)
	for i := range count {
		f := functions + word(functions+8*i+4)
		for _, w := range []int{nameOf, fileOf, lineOf, unitOf, startOf} {
			binary.LittleEndian.PutUint32(table[f+4*w:], 0)
		}
		mark(table[pcs:functions], keep, word(f+4*stackOf))
		tables := word(f + 4*tablesOf)
		for t := range tables {
			at := f + 4*(wordsOfRecord+t)
			if t == unbrokenTable || t == liveArgumentsTable {
				binary.LittleEndian.PutUint32(table[at:], 0)
			}
			mark(table[pcs:functions], keep, word(at))
		}
		facts := int(table[f+4*wordsOfRecord-1])
		for _, fact := range []int{argumentsFact, liveArgumentsFact} {
			if fact < facts {
				binary.LittleEndian.PutUint32(table[f+4*(wordsOfRecord+tables+fact):], noFact)
			}
		}
	}
	clear(table[names:pcs]) // names, then units of compilation, then files
	for i, k := range keep {
		if !k {
			table[pcs+i] = 0
		}
	}
	return empty(image, at+functions, count, at)
}

// mark keeps a table of values by place in the code: pairs of numbers up to a
// nought.
func mark(tables []byte, keep []bool, at int) {
	if at == 0 { // none
		return
	}
	for first := true; first || tables[at] != 0; first = false {
		for range 2 {
			_, n := binary.Uvarint(tables[at:])
			for range n {
				keep[at] = true
				at++
			}
		}
	}
}
