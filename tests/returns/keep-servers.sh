#!/bin/sh
# Starts the Postfix and the Dovecot whose settings lie in the folder $1, says "ready", and keeps
# them until its standard input ends. That end comes whatever becomes of the process at the other
# side, so a suite that is killed leaves no mail server behind. Then the folder is removed. Fails
# where a server did not end by itself.
trap : HUP INT TERM
folder=$1
queue="$folder/postfix/queue/pid/master.pid"
post="$folder/dovecot/run/master.pid"

# Waits up to 20 s: a process that ended and that nobody asked about yet has an empty command line.
awaited() {
  tries=200
  until "$@"; do
    tries=$((tries - 1))
    [ "$tries" -gt 0 ] || return 1
    sleep 0.1
  done
}
gone() { [ -z "$(tr -d '\0' <"/proc/$1/cmdline" 2>/dev/null)" ]; }

{
  postfix -c "$folder/postfix/etc" start && dovecot -c "$folder/dovecot/dovecot.conf" &&
    awaited test -s "$queue" && awaited test -s "$post"
} </dev/null >"$folder/start.log" 2>&1 && echo ready || echo failed
cat >/dev/null

pids=$(cat "$queue" "$post" 2>/dev/null)
{
  doveadm -c "$folder/dovecot/dovecot.conf" stop
  postfix -c "$folder/postfix/etc" stop
} </dev/null >/dev/null 2>&1
left=0
for pid in $pids; do
  awaited gone "$pid" || { left=1; kill -KILL "$pid"; }
done
rm -rf "$folder"
exit "$left"
