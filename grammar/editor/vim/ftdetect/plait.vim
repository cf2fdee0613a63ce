" Recipes of Plaitbook.
autocmd BufRead,BufNewFile *.plait setfiletype plait
