package store

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riverdatabasesql"
	"github.com/riverqueue/river/rivermigrate"
	"github.com/riverqueue/river/rivertype"

	"raftwright/store/rows"
)

// Work is what an office has done in the background, each kind by one server at a time
// however many there are on the store.
type Work struct {
	Reckon func(ctx context.Context) error             // what beds need, of those that are due
	Night  func(ctx context.Context, day string) error // what is done once in the night that ends with a day, as 2027-05-03
}

// Queue is the work of an office that waits, in the database. A job whose server died is
// taken up by another, or by the same when it is there again.
type Queue struct {
	client *river.Client[*sql.Tx]
	single *single // in its place, on an SQLite file where the library has none
	store  *Store
}

// How long a job may take, and after how long one of which nothing was heard is taken up again.
const (
	mostReckon = time.Minute
	mostNight  = 30 * time.Minute
	givenUp    = 2 * time.Minute
	nightsKept = 7 * 24 * time.Hour // so that no night is done twice
)

type reckonJob struct{}

// Kind names the job in the database.
func (reckonJob) Kind() string { return "reckon" }

// InsertOpts say that there is one at a time.
func (reckonJob) InsertOpts() river.InsertOpts {
	return river.InsertOpts{MaxAttempts: 3, UniqueOpts: river.UniqueOpts{ByQueue: true, ByState: []rivertype.JobState{
		rivertype.JobStateAvailable, rivertype.JobStatePending, rivertype.JobStateRetryable, rivertype.JobStateRunning, rivertype.JobStateScheduled}}}
}

type nightJob struct {
	Day string `json:"day"`
}

// Kind names the job in the database.
func (nightJob) Kind() string { return "night" }

// InsertOpts say that each night is done once.
func (nightJob) InsertOpts() river.InsertOpts {
	return river.InsertOpts{MaxAttempts: 5, UniqueOpts: river.UniqueOpts{ByArgs: true}}
}

// worker does the jobs of one kind.
type worker[T river.JobArgs] struct {
	river.WorkerDefaults[T]
	do   func(context.Context, T) error
	most time.Duration
}

// Work does a job.
func (w *worker[T]) Work(ctx context.Context, j *river.Job[T]) error { return w.do(ctx, j.Args) }

// Timeout is how long it may take.
func (w *worker[T]) Timeout(*river.Job[T]) time.Duration { return w.most }

// Queue begins to take work. Its tables are those of the library, made and brought up to
// date by it; a backup and the open form leave them behind.
func (s *Store) Queue(ctx context.Context, w Work, log *slog.Logger) (*Queue, error) {
	var driver riverdriver.Driver[*sql.Tx] = riverdatabasesql.New(s.db)
	if s.lite {
		if driver = liteDriver(s.db); driver == nil {
			return &Queue{single: singly(ctx, w, log, nightRest), store: s}, nil
		}
	}
	if err := s.queueTables(ctx, driver); err != nil {
		return nil, s.fault(err)
	}
	workers := river.NewWorkers()
	river.AddWorker(workers, &worker[reckonJob]{do: func(ctx context.Context, _ reckonJob) error { return w.Reckon(ctx) }, most: mostReckon})
	river.AddWorker(workers, &worker[nightJob]{do: func(ctx context.Context, j nightJob) error { return w.Night(ctx, j.Day) }, most: mostNight})
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	client, err := river.NewClient(driver, &river.Config{Workers: workers, Queues: map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: 1}},
		JobTimeout: mostReckon, RescueStuckJobsAfter: givenUp, CompletedJobRetentionPeriod: nightsKept, Logger: log})
	if err == nil {
		err = client.Start(context.WithoutCancel(ctx)) // Stop ends it
	}
	return &Queue{client: client, store: s}, s.fault(err)
}

// queueTables makes the tables of the queue. Two servers may begin at once.
func (s *Store) queueTables(ctx context.Context, driver riverdriver.Driver[*sql.Tx]) error {
	m, err := rivermigrate.New(driver, &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)})
	for try := 0; err == nil; try++ {
		if _, err = m.Migrate(ctx, rivermigrate.DirectionUp, nil); err == nil || try == 3 {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(200 * time.Millisecond):
		}
		err = nil
	}
	return err
}

// Reckon asks for what is due to be reckoned. Where that waits or is under way already, nothing is added.
func (q *Queue) Reckon(ctx context.Context) error {
	if q.single != nil {
		q.single.reckon()
		return nil
	}
	_, err := q.client.Insert(ctx, reckonJob{}, nil)
	return q.store.fault(err)
}

// Night asks for the work of the night that ends with a day. Asked again it adds nothing.
func (q *Queue) Night(ctx context.Context, day string) error {
	if q.single != nil {
		return q.single.night(ctx, day)
	}
	_, err := q.client.Insert(ctx, nightJob{day}, nil)
	return q.store.fault(err)
}

// Stop takes no more work. What is under way is broken off, and waits to be taken up.
func (q *Queue) Stop(ctx context.Context) error {
	if q.single != nil {
		q.single.end(ctx)
		return nil
	}
	err := q.client.StopAndCancel(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		return nil // it is taken up again
	}
	return err
}

// Sweep forgets what is over: sessions, counted tries, and what no device answered.
func (s *Store) Sweep(ctx context.Context) error {
	if err := s.endRemoved(ctx); err != nil {
		return err
	}
	return s.gone(ctx, s.beside(ctx, func(q *rows.Queries) error {
		now := s.now()
		return errors.Join(q.EndSessionsBefore(ctx, now.Add(-idle).UnixMilli(), now.Add(-longest).UnixMilli()),
			q.ForgetAttempts(ctx, now.Add(-24*time.Hour).UnixMilli()), q.ForgetAsked(ctx, now.UnixMilli()), q.ForgetAnswers(ctx, now.Add(-answersFor).UnixMilli()))
	}))
}

// NightBackup keeps a backup of a night in a folder, and the last so many of them. One that is there stays.
func (s *Store) NightBackup(ctx context.Context, dir, day string, keep int) error {
	if err := s.Backup(ctx, filepath.Join(dir, backupName+day+".db")); err != nil && !Is(err, FaultThere) {
		return err
	}
	list, err := filepath.Glob(filepath.Join(dir, backupName+"????-??-??.db"))
	if err != nil {
		return unwritten(dir, err)
	}
	slices.Sort(list)
	for _, old := range list[:max(0, len(list)-keep)] {
		if err := os.Remove(old); err != nil {
			return unwritten(old, err)
		}
	}
	return nil
}

const backupName = "raftwright-"
