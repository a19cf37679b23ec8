package main

import (
	"strings"
	"testing"

	"runnel/survey/read"
)

// TestSettings_EachKey: each key that may be set, set by itself, is one setting, whether
// by flag or from the environment, and the flag wins. No group of keys comes
// with it.
func TestSettings_EachKey(t *testing.T) {
	for _, key := range read.SettableKeys() {
		name := "RUNNEL_" + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
		t.Run(key, func(t *testing.T) {
			want := func(set read.Setting, flags ...string) {
				t.Helper()
				got, err := settingsOf(flags)
				if err != nil || len(got) != 1 || got[0] != set {
					t.Errorf("%v, %v; want %v", got, err, set)
				}
			}
			want(read.Setting{Key: key, Value: "a = b", From: "flag --set"}, key+"=a = b")
			t.Setenv(name, "by environment")
			want(read.Setting{Key: key, Value: "by environment", From: "environment " + name})
			want(read.Setting{Key: key, Value: "by flag", From: "flag --set"}, key+"=by flag")
		})
	}
}

// TestSetInAGroup: keys of a group can be set on jobs that have the group.
func TestSetInAGroup(t *testing.T) {
	for _, c := range []struct{ job, set, words string }{
		{"heron-wharf", "survey.reading_error=1/4 in", "one standard error of a reading 1/4\""},
		{"bare-rectangle", "rules.field=3/8 in/ft", "at least 3/8 in/ft (the job's own figure)"},
	} {
		code, out, errOut := runnel(t, "drainage", jobsDir+c.job, "--set", c.set)
		if code != exitDone || !strings.Contains(strings.Join(strings.Fields(out), " "), c.words) {
			t.Errorf("%s on %s: exit %d, no %q in %.3000s%s", c.set, c.job, code, c.words, out, errOut)
		}
	}
}
