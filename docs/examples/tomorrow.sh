#!/bin/sh
# Asks a Whitethread server for tomorrow of a farm, with curl and nothing else. The key stays out of the list of processes.
#   WHITETHREAD_KEY=wt_... sh docs/examples/tomorrow.sh https://hoe.example.org FARM_ID [DATE]
set -eu
server=${1:?address of the server}
farm=${2:?id of the farm}
: "${WHITETHREAD_KEY:?API key of the farm}"
printf 'header = "Authorization: Bearer %s"\n' "$WHITETHREAD_KEY" |
  curl --config - --silent --show-error --fail-with-body --max-time 60 --retry 3 \
    --header 'Accept: text/plain' "$server/v1/farms/$farm/tomorrow${3:+?on=$3}"
