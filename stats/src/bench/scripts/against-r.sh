#!/usr/bin/env bash
# How much longer R takes for the heavy questions. First: mvn -pl stats -Pbench verify
# Exit codes: 0 every goal met, 1 a goal missed or R failed, 3 R or one of its packages is not installed, 4 nothing measured yet.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
measured=${1:-$here/../../../target/bench.json}

if ! command -v Rscript >/dev/null; then
  echo "Not compared with R: Rscript is not installed. On Debian: apt-get install r-base-core" >&2
  exit 3
fi
for package in sandwich spc; do
  if ! Rscript --vanilla -e "quit(status = if (requireNamespace('$package', quietly = TRUE)) 0 else 1)"; then
    echo "Not compared with R: the package $package is not installed. On Debian: apt-get install r-cran-$package" >&2
    exit 3
  fi
done
if [ ! -f "$measured" ]; then
  echo "Not compared with R: nothing measured yet. First: mvn -pl stats -Pbench verify" >&2
  exit 4
fi
Rscript --vanilla "$here/against-r.R" "$measured"
