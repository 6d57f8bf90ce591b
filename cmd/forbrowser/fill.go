//go:build !js

package forbrowser

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
)

// Two tables of the image grow by steps of nearly one size, which packs badly, since no
// number in them comes twice: that of functions (for each the number of its code and
// where its record stands, which begins with the number of the code again) and that which
// leads from a place in the code to its function (one number for every 4096 places, and
// every function has 65,536). Thin leaves of the first only what each entry adds to the
// one before, of the second nothing, and adds a function to the module that fills both
// in as it starts, before anything of Go runs. Layout: runtime/symtab.go, and
// cmd/link/internal/ld/pcln.go, of the Go source.
type filling struct {
	functions, count int // where the table of functions stands, and how many
	places, buckets  int // where the table of places stands, and its entries
}

const (
	entrySize     = 8  // number of the code, place of the record
	bucketSize    = 20 // number of the function, sixteen finer steps that are nought here
	bucketsOfCode = 16
	wordsOfTables = 1 + 6*3 // of the list of tables, before that of places: the head, and six lists with length and room
	lastOfTables  = 16      // the table of functions among these
)

// empty takes out of the image what the filling puts back.
func empty(image []byte, functions, count, head int) (filling, error) {
	order := binary.LittleEndian
	f := filling{functions: functions, count: count}
	at := bytes.Index(image, order.AppendUint64(nil, uint64(head)))
	list := func(n int) int { return int(order.Uint64(image[at+8*n:])) }
	if at < 0 || list(lastOfTables) != functions || list(lastOfTables+1) != count+1 {
		return f, errors.New("thin: no list of tables of a form that it knows; was the Go toolchain changed?")
	}
	f.places, f.buckets = list(wordsOfTables), bucketsOfCode*(count-1) // the last function's are cut short, and stay
	for i := range f.buckets {
		b := image[f.places+bucketSize*i:][:bucketSize]
		if int(order.Uint32(b)) != i/bucketsOfCode || !bytes.Equal(b[4:], make([]byte, bucketSize-4)) {
			return f, fmt.Errorf("thin: entry %d of the table of places is not as it was", i)
		}
		clear(b)
	}
	for i := count - 1; i > 0; i-- {
		entry := image[functions+entrySize*i:]
		record := image[functions+int(order.Uint32(entry[4:])):]
		if !bytes.Equal(record[:4], entry[:4]) {
			return f, fmt.Errorf("thin: the record of function %d is another's", i)
		}
		clear(record[:4])
		order.PutUint64(entry, order.Uint64(entry)-order.Uint64(image[functions+entrySize*(i-1):]))
	}
	return f, nil
}

// Operations of the core specification.
const (
	loop, branchIf, endOfBlock            = 0x03, 0x0d, 0x0b
	getLocal, setLocal, teeLocal          = 0x20, 0x21, 0x22
	load32, load64, store32, store64      = 0x28, 0x29, 0x36, 0x37
	lessI32, addI32, timesI32, shiftRight = 0x49, 0x6a, 0x6c, 0x76
	addI64                                = 0x7c
	typeI32, typeFunction, noValue        = 0x7f, 0x60, 0x40
	importedFunction                      = 0
)

// code gives the body of the function that fills the tables in. Its one variable is the
// place of an entry in the first loop, the number of an entry in the second.
func (f filling) code() []byte {
	b := []byte{1, 1, typeI32} // one variable
	op := func(code byte, args ...int) {
		b = append(b, code)
		for _, a := range args {
			if code == i32Const {
				b = appendSigned(b, a)
			} else {
				b = binary.AppendUvarint(b, uint64(a))
			}
		}
	}
	again := func(step, end int) { // the variable grows by a step; once more while it is less than the end
		op(getLocal, 0)
		op(i32Const, step)
		op(addI32)
		op(teeLocal, 0)
		op(i32Const, end)
		op(lessI32)
		op(branchIf, 0)
		op(endOfBlock)
	}
	op(i32Const, f.functions)
	op(setLocal, 0)
	op(loop, noValue)
	op(getLocal, 0) // the next entry += this one; loads and stores name the alignment (2^2) and what is added to the place
	op(getLocal, 0)
	op(load64, 2, entrySize)
	op(getLocal, 0)
	op(load64, 2, 0)
	op(addI64)
	op(store64, 2, entrySize)
	op(getLocal, 0) // its record = its number
	op(load32, 2, entrySize+4)
	op(getLocal, 0)
	op(load32, 2, entrySize)
	op(store32, 2, f.functions)
	again(entrySize, f.functions+entrySize*(f.count-1))
	op(i32Const, 0)
	op(setLocal, 0)
	op(loop, noValue)
	op(getLocal, 0) // entry i of the places = i / 16
	op(i32Const, bucketSize)
	op(timesI32)
	op(getLocal, 0)
	op(i32Const, 4)
	op(shiftRight)
	op(store32, 2, f.places)
	again(1, f.buckets)
	op(endOfBlock)
	return append(binary.AppendUvarint(nil, uint64(len(b))), b...)
}

// addStart adds a function without arguments to the sections of a module, as the last
// of each list, and has the module start with it.
func addStart(sections map[byte][]byte, code []byte) error {
	if sections[startSection] != nil {
		return errors.New("thin: the module starts with a function already")
	}
	imported, err := importedFunctions(sections[importSection])
	if err != nil {
		return err
	}
	kind, _ := binary.Uvarint(sections[typeSection])
	defined, _ := binary.Uvarint(sections[functionSection])
	sections[typeSection] = appendItem(sections[typeSection], []byte{typeFunction, 0, 0})
	sections[functionSection] = appendItem(sections[functionSection], binary.AppendUvarint(nil, kind))
	sections[codeSection] = appendItem(sections[codeSection], code)
	sections[startSection] = binary.AppendUvarint(nil, uint64(imported)+defined)
	return nil
}

// appendItem adds one to a list that begins with its length.
func appendItem(list, item []byte) []byte {
	count, n := binary.Uvarint(list)
	return append(append(binary.AppendUvarint(nil, count+1), list[n:]...), item...)
}

// importedFunctions counts what a module imports; Go imports functions only.
func importedFunctions(section []byte) (int, error) {
	count, n := binary.Uvarint(section)
	section = section[n:]
	for range count {
		for range 2 { // module, name
			length, n := binary.Uvarint(section)
			section = section[n+int(length):]
		}
		if section[0] != importedFunction {
			return 0, errors.New("thin: an import that is no function")
		}
		_, n := binary.Uvarint(section[1:])
		section = section[1+n:]
	}
	return int(count), nil
}
