# The same figures by R's survey package: reads FOLDER/items.csv, writes FOLDER/r.csv, prints what,seconds.
# Rscript survey.R FOLDER [bootstrap]
suppressMessages(library(survey))
words <- commandArgs(trailingOnly = TRUE)
d <- read.csv(file.path(words[1], "items.csv"), stringsAsFactors = FALSE)
d$box <- paste(d$stratum, d$box)
d$item <- seq_len(nrow(d))
# Boxes read in part are a second stage.
two <- any(d$M > ave(d$M, d$box, FUN = length))
conditions <- paste0("c", 1:20)
all <- as.formula(paste0("~", paste(conditions, collapse = "+")))
say <- function(what, seconds) cat(what, seconds, sep = ",", fill = TRUE)
# Processor time, the least of five runs or of as many as ten seconds hold: other programs on the machine count little.
least_of <- function(work) {
  times <- c()
  while (length(times) < 5 && sum(times) < 10) times <- c(times, sum(system.time(work())[c("user.self", "sys.self")]))
  min(times)
}
if (length(words) < 2) {
  took <- least_of(function() {
    design <<- if (two) svydesign(id = ~box + item, strata = ~stratum, fpc = ~N + M, data = d)
      else svydesign(id = ~box, strata = ~stratum, fpc = ~N, data = d)
    whole <<- svymean(all, design)
    svyby(all, ~stratum, design, svymean)
  })
  say("shares and errors, all and by stratum", took)
  write.csv(data.frame(condition = conditions, estimate = format(as.numeric(coef(whole)), digits = 17),
    se = format(as.numeric(SE(whole)), digits = 17)), file.path(words[1], "r.csv"), row.names = FALSE, quote = FALSE)
} else {
  design <- svydesign(id = ~box, strata = ~stratum, fpc = ~N, data = d)
  took <- least_of(function() {
    set.seed(1)
    replicates <- as.svrepdesign(design, type = "subbootstrap", replicates = 1000)
    svymean(all, replicates)
  })
  say("bootstrap, 1000 replicates", took)
}
cat("version", as.character(packageVersion("survey")), sep = ",", fill = TRUE)
