// Package nodisk takes the disk from a process, for tests of what is told where it fails. Only Linux lets a process refuse itself a call.
package nodisk
